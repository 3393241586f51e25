(seatcut 0.1.0)
(Frame of Lakeside deck, west stair)
(Job d33cc5b868a9c5cc)
(Machine router-table)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 74.0548, Y 0 to 12.173 in)
(Spindle off, same X0 Y0 and Z0 as the programs)
(0.5 in over the stock)
(Stay at the stop. Nothing may stand where it goes.)
G20
G17
G40
G49
G54
G80
G90
G94
M5
G0 Z0.5000
G0 X0.0000 Y0.0000
G1 X74.0548 Y0.0000 F192.0
G1 X74.0548 Y12.1730
G1 X0.0000 Y12.1730
G1 X0.0000 Y0.0000
G0 X0.0000 Y0.0000
M30
