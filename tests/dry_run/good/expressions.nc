(a ring of holes by sums and sines, an exact stop, coolant that does nothing on wood)
#1=[20*2] (across)
#2=1.5
#3=-6
G21 G90 G17 G94 G54 G61
T3 M6
M7
M3 S[3000*3]
G4 P[#2*2]
G0 Z15
G0 X[150+#1*COS[0]] Y[50+#1*SIN[0]]
G81 Z#3 R2 F[800/2]
X[150+#1*COS[60]] Y[50+#1*SIN[60]]
X[150+#1*COS[120]] Y[50+#1*SIN[120]]
X[150-#1] Y[50+ROUND[0.2]]
X[150+#1*COS[240]] Y[50+#1*SIN[240]]
X[150+#1*COS[300]] Y[50-SQRT[#1**2*0.75]]
G80 M9
G0 Z15
M5
M30
