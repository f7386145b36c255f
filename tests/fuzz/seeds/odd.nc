G0X1;to the rail
G1 X1,5
X1e3 X--2
G4 P[0/0]
#5220=1E
U1 V2 W3
%
G0 X9
