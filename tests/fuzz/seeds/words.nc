/N1 g0x +0. 12 34y 7 (MSG, hold on)
G0 G90 G54 X1 (first) Y2 (last)
N2N3 G1 X1
G1.0 X.5 Y1. Z-.25 M8 M48
A1 B0
G71
