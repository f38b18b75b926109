(one program per cutter: levels from outside the stock, then a full-depth finishing pass)
G21
G90
G17 G54
M3 S18000
G4 P3
G0 Z12
G0 X-10 Y20
G0 Z-3
G1 X260 F2000
G0 Z12
G0 X-10
G0 Z-6
G1 X260
G0 Z12
G0 X-10
G0 Z-9
G1 X260
G1 Y19.5
(finish)
G1 X-10
G0 Z12
M5
M30
