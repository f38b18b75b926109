(holes by helices, counter-clockwise and clockwise, several turns by one word, increments too)
G21 G90 G17 G94 G40 G54
T1 M6
M3 S18000
G4 P3
G0 Z12
X103 Y50
Z1
G1 Z0.2 F1000
G3 X103 Y50 Z-0.5 I-3 J0
X103 Y50 Z-1.2 I-3
X103 Z-1.9 I-3 J0
Y50 Z-2.5 I-3 J0
X103 I-3 J0
G0 Z12
X153 Y50
Z1
G1 Z0.2
G2 X153 I-3 Z-0.5
X153 I-3 Z-1.2
X153 I-3 Z-1.9
X153 I-3
G1 X150
G0 Z12
M5
M30
