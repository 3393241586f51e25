(seatcut 0.1.0)
(Frame of Corner deck stair, flight 1 of 2 and 1 more)
(Job 6feb5a8084650787)
(Machine router-table-large)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 99.5142, Y -0.3056 to 11.4375 in)
(Spindle off, same X0 Y0 and Z0 as the programs)
(2 in over the stock)
(Only if no clamp is taller than 1.75 in over the stock)
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
G0 Z2.0000
G0 X0.0000 Y-0.3056
G1 X99.5142 Y-0.3056 F320.0
G1 X99.5142 Y11.4375
G1 X0.0000 Y11.4375
G1 X0.0000 Y-0.3056
G0 X0.0000 Y0.0000
M30
