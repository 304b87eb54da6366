"""One spray hole measured in a macro photograph: edge to sub-pixel, ellipse, ovality, roundness, uncertainty.

Picture: a two-dimensional array of linear light from 0 (black) to 1 (full scale), row by row from the top; the
centre of the pixel in column x and row y is the point (x, y), and y grows downwards. Angles run from the x axis
towards the y axis, clockwise on the screen.

Nominal conditions, in which the mean diameter is right within 0.2 pixel and the ovality within 0.3 pixel:

- one whole hole, 60 to 800 pixels across and at least a twentieth of the picture's longer side;
- blur of the edge (standard deviation of a Gaussian) 0.7 to 3 pixels and at most 1/24 of the diameter;
- contrast between hole and ground at least 30 % of full scale, dark on bright or bright on dark;
- noise (standard deviation of a pixel) at most 3 % of full scale and at most 1/15 of the contrast;
- illumination that varies by at most 30 % over the picture, with no step in it; nothing overexposed;
- ovality up to a tenth of the diameter; scratches and reflections over at most a tenth of the circumference.

Outside these, up to the refusals, a result is given with its larger uncertainty and says what is not nominal.
`tests/metrology/hole_image/` draws holes of known size over these conditions and holds the figures.

A photograph shows the rim that the light draws: a chamfer, a burr or soot at the rim moves it, and no figure here
covers that. Modules with arrays load NumPy and SciPy, so callers import `evaluation` on first use; `scale`,
`conditions` and `findings` are light.
"""
