(lower case, words run together, decimals without a nought, the end by m2)
g21g90g17g94g54
t1m6
m3s18000
g4p3.
g0z12.
g0x40.y30.
g1z.5f600
x140.z-2.5f1000
x240.f2000
y70.
x40.
y30.
x140.
g0z12.
m5
m2
