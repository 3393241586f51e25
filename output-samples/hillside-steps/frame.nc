(seatcut 0.1.0)
(Frame of Hillside shed steps)
(Job 9ec5d03ab9ff63a2)
(Machine router-table)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 64.0558, Y 0 to 12.3474 in)
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
G1 X64.0558 Y0.0000 F192.0
G1 X64.0558 Y12.3474
G1 X0.0000 Y12.3474
G1 X0.0000 Y0.0000
G0 X0.0000 Y0.0000
M30
