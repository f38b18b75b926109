(round the right front corner from outside, down in the air, off the board again)
G21 G90 G17 G94 G54
T1 M6
M3 S18000
G4 P3
G0 Z12
G0 X30 Y-8
G0 Z-3
G1 Y1 F2000
G1 X250
G1 Y-8
G0 Z12
G0 X30
G0 Z-6
G1 Y1
G1 X250
G1 Y-8
G0 Z12
M5
M30
