; seatcut 0.1.0
; Frame of Potting shed steps
; Job 8ffb978639c7d153
; Machine laser
; It cuts nothing, once round the box of all motion of this set
; X 0 to 949.9058, Y 0 to 300.7021 mm
; Beam off, same X0 Y0 as the programs
; Stay at the stop. Nothing may stand where it goes.
G21
G17
G40
G49
G54
G80
G90
G94
M5
G0 X0.000 Y0.000 S0
G1 X949.906 Y0.000 F900.0
G1 X949.906 Y300.702
G1 X0.000 Y300.702
G1 X0.000 Y0.000
G0 X0.000 Y0.000 S0
M2
