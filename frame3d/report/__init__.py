"""The report: the bike as one self-contained HTML page.

`report/data.py` gathers everything (`gather`), `report/page.py` puts it together (`report_page`);
each module of `sections/` turns a part of it into markup that is complete without scripts.
`scene.py` writes the document that `viewer/` takes, `meshes.py` the GLB without the CAD kernel,
`tracks.py` the smallest gap at each place of a travel, the tightest place among them. Drawings
(`drawing/`) are `sheet.py` (lines, dimensions) on `side.py` (the bike's points) with one method a
figure in `dimension.py`, which both the drawing and the definitions use; `plots.py` draws curves.
`audience.py` says what the rider's page (`--for rider`) leaves out of the builder's; its parts are told
by `equipment.py`, its curves by `verdicts.py`, whose limits the page states.
`stand` in the scene document is what the bike rests on: from it the viewer puts both wheels on level
ground in every pose, as the solver does, and `page_files/figures.js` works out the main figures.
All texts are in `texts/en.json`, all colours in `page_files/palette.json`; tests hold that none is
missing or unused, and WCAG AA contrast.

The page's own scripts (`page_files/*.js`, joined to one by `viewer.modules.joined`) add to what is
there: they unpack bundles into `blob:` modules, and nothing in the page may need a `style` or `on…`
attribute, because its content security policy allows one style and one script by their hashes.
Markup goes through `markup.el`, which escapes; scripts set texts as text.
"""
