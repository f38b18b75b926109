%
( remarks stand anywhere, and say G0 Z-50 M3 without harm )
(units) G21 (mm) G90 (from zero) G17 (plane) G94
G54 (zero)
T1 (quarter inch) M6 (MSG, put in the quarter inch)
M3 (clockwise) S18000
G4 (wait) P3
G0 (up) Z12 (safe)
G0 (to the right) X40 (to the back) Y30
G1 Z0.5 F600 ()
G1 X140 Z-3 (ramp) F1000
X240 F2000 (the first side) (by hand)
Y70 (the second, not G0 Z-50)
X40
Y30
X140
G0 Z12
M5
M30
%
after the end of the program nothing counts: G0 Z-50
