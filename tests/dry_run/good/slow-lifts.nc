(no traverses but the first: all lifts and ways at a feed, dwell on one line with a stop word later)
G90 G21
G17
G94 G54
T4 M6
S18000
M3
G4 P5
G0 Z12
G1 X60 Y30 F4000
G1 Z1 F3000
G1 Z-2 F500
G1 X120 Y40 F1500
G1 Z12 F3000
G1 X120 Y70 F4000
G1 Z1 F3000
G1 Z-2 F500
G1 X60 Y60 F1500
G1 Z12 F3000
M5 M9
G4 P2
M2
