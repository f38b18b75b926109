(bead slot in oak, inches, radius arcs, no line numbers)
g20 g17 (plane) g90 g40 g49 g80 g94 g54
t2 m6 (half inch, not centre-cutting)
m3 s16000
g4 p5
g0 z.5
g0 x.25 y.5
g1 z.05 f40
(ramp along the slot)
g1 x4.25 z-.15 f55
x9.5 f110
g3 x10 y1 r.5
g1 y2.5
g3 x9.5 y3 r.5
g1 x1
g3 x.5 y2.5 r.5
g1 y1
g3 x1 y.5 r.5
g1 x4.25 (over the ramp)
g0 z.5
m5

m2
