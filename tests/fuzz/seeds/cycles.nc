g20 (cycle test)
g17 g43 h1 m3 s1234 f16
g81 x3 y4 r0.2 z-1.1
x1 y0 r0 g91 l3
g82 g90 x4 y5 r0.2 z-1.1 p0.6
x2 z-3.0
g83 g90 x5 y6 r0.2 z-1.1 q0.21
g84 x6 y7 r0.2 z-1.1
g85 x7 y8 r0.2 z-1.1
g86 x8 y9 r0.2 z-1.1 p902.61
g87 x9 y10 r0.2 z-1.1 i0.231 j-0 k-3
g88 x10 y11 r0.2 z-1.1 p0.3333
g89 x11 y12 r0.2 z-1.1 p1.272
g18 g81 z3 x4 r0.2 y-1.1
g19 g99 g73 y3 z4 r0.2 x-1.1 q.3
m2
