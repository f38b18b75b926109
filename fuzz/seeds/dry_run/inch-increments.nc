(a square in inches, by increments, the depth taken twice)
G20 G17 G90 G94 G54
T1 M6
M3 S24000
G4 P4
G0 Z.5
X.4 Y.4
Z.04
G91
G1 Z-.04 F40
X1 Z-.05 F70
X-1 F120
Y.8
X1
Y-.8
X-1 Z-.05 F70
X1 F120
G90 G0 Z.5
M5
M30
