"""Motion: drag, coasting, rising, the depth lost when the signal goes, and the speeds that follow.

One idea a file: `hull`, `drag`, `speed`, `added_mass`, `coasting`, `rising`, `excursion`, `sternway`,
`room`, `planes`, `propeller`; for the whole path `vertical_plane`, `steady`, `stepping`, `rehearsal`.
Depths count downwards, dive angles are magnitudes bow-down.
"""
