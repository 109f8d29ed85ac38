"""The workspace: a local page that shows the bike while its file is edited.

`live/`: `session.py` is the state (text, tried values, kept versions, undo, conflicts with the
disk) and does nothing by itself; `workspace.py` brings it together with the file (`disk.py`), unsaved
text (`unsaved/`), the workers (`work/`), sizes and settings (`choosing/`), comparisons (`comparing/`),
stiffness (`stiffening/`) and the pages; `app.py` has the
routes, `page.py` the page (nicegui), `client/` its scripts, which use the report's `page_files/` and
the viewer as they are.

::

    key ─► merge.py ─► session ─► thread: solved_text.py, preview.py ─► chart, preview
                            └───► workers: jobs.py ─► clearances, solids, files

- A page sends its whole text with the text that it and the workspace last agreed on, again and again
  until it is answered; the workspace merges (`merge.py`), so what crosses on the way, or was typed
  without a connection, is in the answer (`client/editor.js` says how). nicegui's own value of the
  editor is never sent back.
- The server tells pages what there is as plain data and escaped markup (`window.f3d.take`); models
  are fetched by number, since a websocket is no place for megabytes. The newest picture wins.
- A `Worker` is a spawned process with one job. A newer job ends the older one when that next reports
  progress, and kills the process if it does not report within `GRACE`; a job that is silent for longer
  than `SILENCE` counts as hung. Jobs start from the text: no `Bike` is passed between processes.
- The light model (`looks/surfaces.py`) is swept from the frame's outsides
  (`solids.bodies.outsides`, which looks for no cuts) and the parts' shapes without booleans, in
  about 10 ms; normals of the true surface hide how coarse it is. Multisampling makes triangles
  costly on a software renderer, so it has as few as look right. What parts are drawn as (`looks/`)
  is sent once for each size, and pages keep it (`viewer/client/pieces.js`): while a part is being
  changed it shows its new look, or its outline until the exact model comes.
- The panel on stiffness is worked out with the picture (20 to 40 ms), but only while a page has it in
  sight: pages tell. Its ratios are to the first of the two bikes that are compared, as the change of
  each figure is. How the frame bends goes to the picture once the text rests: under a drag the plain
  bike is shown, and then the chosen load again.
- From key to picture nothing else runs: a `Solver` (`solved_text.py`) reads a changed number in
  place (`parameters/reading/reparse.py`), and takes everything unchanged from its cache; tables,
  clearances and curves begin once the text has rested for `PAUSE`, solids after `REST` more; workers
  run at a lower priority. Messages to pages hold only what has changed, and `panels.js` leaves
  unchanged elements in place.
- A browser that draws by software puts the whole page together anew for each change of it, which
  costs it a quarter of what the bike does. So a page shows state and figures in one go with the picture
  that they came with (`client/live.js`), writes nothing that it shows already, and is told nothing
  else under a drag.
- Checks and solids are two workers; a suspension's curves, which take a second, come from the solids'
  so that clearances do not wait for them. Each stage says how far it is (`jobs.py`).
- Two bikes are compared (`sides.py`, `comparison.py`): a page names them by keys from a list that the
  server makes, never by a path. What the checker has measured is remembered; else a worker measures.
- Unsaved text and tried values are kept `keeping.SOON` after a change, in a hidden folder among the
  results that the workspace locks (`recovery.py`); what a killed workspace has left there is offered.
- A number is changed where it stands (`parameters/reading/editing.py`), found by the YAML reader's own
  marks; values that anchors share are left alone.
- Of a file with sizes all pages see one bike (`choosing/chooser.py`): the choice is the workspace's, is
  no step of undo, and falls back to the file's default while the text does not have it. `SolvedText.key`
  (text and choice) tells bikes apart, and is what workers are started with. Sliders work on numbers of
  the bike; what is tried is kept by where it stands in the text (`parameters/reading/number_places.py`),
  so that a value tried in one size shows in all that take it from there.
- Other bikes of the file (`choosing/others.py`) are solved one by one when all else is done and the text
  still rests, with a cache of their own: for the size table, and where they are compared.
- `guard.py` is the outermost layer: Host and Origin have to be this server's, websockets included,
  since nicegui's own socket accepts every origin.
- Read-only pages may be on the network (`--read-only --on`): `door.py`, behind the guard, lets in who
  has typed the terminal's code; such a page may ask for nothing but `page.READ_ONLY`: views of the bike,
  its sizes and settings among them, which change neither text nor disk.
"""
