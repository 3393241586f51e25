(seatcut 0.1.0)
(Frame of Boathouse stair, long flight)
(Job ac4258f7fb174d12)
(Machine router-table)
(It cuts nothing, once round the box of all motion of this set)
(X 0 to 93.5497, Y 0 to 47.4026 in)
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
G1 X93.5497 Y0.0000 F192.0
G1 X93.5497 Y47.4026
G1 X0.0000 Y47.4026
G1 X0.0000 Y0.0000
G0 X0.0000 Y0.0000
M30
