(seatcut 0.1.0)
(Frame of Loft stair, harbour yard)
(Job 5a9e088ad70c3200)
(Machine router-metric)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 316, Y 0 to 2152.5707 mm)
(Spindle off, same X0 Y0 and Z0 as the programs)
(12 mm over the stock)
(Stay at the stop. Nothing may stand where it goes.)
G21
G17
G40
G49
G54
G80
G90
G94
M5
G0 Z18.300
G0 X0.000 Y0.000
G1 X316.000 Y0.000 F3600.0
G1 X316.000 Y2152.571
G1 X0.000 Y2152.571
G1 X0.000 Y0.000
G0 X0.000 Y0.000
M30
