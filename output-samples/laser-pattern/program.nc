; seatcut 0.1.0
; Title: Potting shed steps
; Job: 866eb56deba09cdf
; Machine: laser
; Stock: X 1300 Y 900 Z 3.2 mm
; X0 Y0: lower left corner of the stock, Z0: its top face
; Kerf: 0.2 mm
; Tabs: 0
; Estimated time: 166 s
; pattern for a pencil, half its line: 0.3969 mm inside the part
; path of the beam, half the kerf: 0.1000 mm outside the piece
; inside corners left round: 0.1000 mm radius
; Eyes, ears, dust: protect them. Never leave the machine running
; alone.
; First run it in the air above the stock.
G21
G17
G40
G49
G54
G80
G90
G94
M4 S0
G0 X859.391 Y12.697 S0
G3 X856.391 Y15.697 I-3.001 J-0.001 F240.0 S1000
G1 X272.858 Y15.697 F900.0
G2 X272.804 Y15.713 I0.000 J0.099
G1 X15.894 Y179.340
G2 X15.864 Y179.478 I0.054 J0.084
G1 X93.042 Y300.656
G2 X93.181 Y300.686 I0.084 J-0.053
G1 X318.046 Y157.469
G1 X409.242 Y300.656
G2 X409.380 Y300.686 I0.084 J-0.054
G1 X634.245 Y157.469
G1 X725.442 Y300.656
G2 X725.580 Y300.686 I0.084 J-0.054
G1 X949.860 Y157.841
G2 X949.890 Y157.703 I-0.054 J-0.084
G1 X859.475 Y15.743
G2 X859.391 Y15.697 I-0.084 J0.054
G1 X856.391 Y15.697
G1 X855.591 Y15.697
S0
M5
G0 X0.000 Y0.000 S0
M2
