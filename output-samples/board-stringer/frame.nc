(seatcut 0.1.0)
(Frame of Back porch stair)
(Job d87dbdf7b167723c)
(Machine router-table)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 63.341, Y -0.2431 to 11.375 in)
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
G0 X0.0000 Y-0.2431
G1 X63.3410 Y-0.2431 F192.0
G1 X63.3410 Y11.3750
G1 X0.0000 Y11.3750
G1 X0.0000 Y-0.2431
G0 X0.0000 Y0.0000
M30
