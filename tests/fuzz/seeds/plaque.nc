(House number plaque, 300 x 140 x 18 white oak)
(Zero: front left corner, top of the board)
G21 G90 G17 G94 G54 G40 G49 G80
(Bit 1: vee 60 degrees, the number)
T1 M6
S18000 M3
G0 Z20
G0 X88 Y88
G0 Z2
G1 Z-1.5 F300
G2 X124 Y88 I18 J0 F1800
G2 X118.7279 Y75.2721 I-18 J0
G1 X88 Y40
G0 Z20
M5
T2 M6
S-0 M4
G1 Z-18.2
M30
