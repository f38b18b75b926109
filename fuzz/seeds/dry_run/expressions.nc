(a corner cut in steps, by settings and expressions)
#1=24
#2=[0-#1/20]
G21 G90 G17 G94 G54
T1 M6
M3 S[#1*1000]
G4 P4
G0 Z12
X[#1/2] Y8
Z1
G1 Z0 F1000
#3=[#1+14]
X#3 Z#2 F1800
X[#1/2] F[3*1000]
#1=12
Y[#1+20*SIN[30]] X#3
G0 Z12
M5
M30
