(seatcut 0.1.0)
(Frame of Village hall stage steps)
(Job b9d1d5b1fb6886a5)
(Machine router-table-large)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 63.3512, Y 0 to 47.3716 in)
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
G1 X63.3512 Y0.0000 F320.0
G1 X63.3512 Y47.3716
G1 X0.0000 Y47.3716
G1 X0.0000 Y0.0000
G0 X0.0000 Y0.0000
M30
