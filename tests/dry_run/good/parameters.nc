(a slot by numbers)
#1=50 #2=20 (left, front)
#3=[#1+140] #4=[#2+60]
G21 G17 G90 G94 G54
T1 M6
M3 S[9000*2]
G4 P3
G0 Z12
X#1 Y#2
G1 Z0.5 F600
X[#1+90] Z[0-3] F1000
X#3 F2000
Y#4
X#1
Y#2
X[#1+90]
G0 Z12
M5
M30
