%
g17g21g40g49g80g90g94g54
t01(quarter inch)m06
s18000m03
g04p3.5
g00z12.
x50.y20.
g01z.5f600.
x140.z-3.f1000.
x190.f2000.
y80.
x50.
y20.
x140.(over the ramp)
g00z+12.
m05
m30
%
