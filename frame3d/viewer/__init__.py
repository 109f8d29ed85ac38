"""The 3D viewer for browsers.

`viewer/client/` is plain ES modules, typed by JSDoc, used by the report page and the live workspace
alike; `viewer.js` says what it offers. It stands on the three.js bundle of the installed `nicegui`
package: `viewer/three_bundle.py` knows where that is, `client/three.js` what it exports, and
nothing else knows of either. `viewer/modules.py` joins the files to one module and refuses whatever
it could not join safely, a name used twice among them.

- Its world is the frame's own axes in mm, z up. A part is a node whose matrix is the motion of its
  mount (`pose.js`, the same as `bodies/motion/pose.py`); nothing else moves it.
- It draws on request only: `settle` marks what has changed, the next frame works it out (`freshen`)
  and draws.
- What comes by `update` is drawn at once (`stage.drawNow`): a busy browser lets wait for its next
  frame for half a second. Parts keep the materials of those that they follow, and sharp edges come
  as lines of the file where it has them (light models do), else from the triangles.
- The shadow on the ground is 160 pixels wide and blurred twice; at 512 pixels in half floats,
  blurred four times, it took ten times as long as the picture itself on a software renderer (1.2 s
  against 0.12 s, busy cores).
- Models that follow each other within half a second share a shadow (`Ground.wait`).
- A surface is a matcap, a picture of a lit ball worked out from a few lamps (`shade.js`): four to
  five times as fast as physical shading on a software renderer (0.24 s against 1.1 s a frame at
  1400 × 900, two busy cores). `paint.js` looks it up for each corner and leaves a screen's colours as
  they are: 48 ms of processor time a frame where the library's own matcap took 58.
- A part's own triangles are its outline: gaps are measured on them, and they show as glass where that
  is asked for or something is measured. What is seen, picked and cut open are its pieces (`pieces.js`,
  made by `looks/`), where it has any.
- A frame under a load is drawn from the meshes that are there: each corner goes with the nearest place
  of its tube's axis, whose motion the page has (`bending.js`, `carried.js`). Long triangles are halved
  first (`finer.js`), since a straight tube has corners at its ends only.
- Caps of a section are counted in the stencil buffer, one part after the other, and the buffer is
  cleared after each: at silhouettes, multisampling lets single samples escape the clipping plane.
- `nearest.js` bounds boxes along the direction of the best pair so far; bounds from boxes alone
  took about thirty times as long on long thin triangles (4.2 s against 0.15 s for a tyre and a down
  tube, on a busy machine).
- A gap away from its check's tightest pose is the track's where only the track's motion matters,
  else measured between the drawn meshes and said to be "about".

To have the types checked, outside the repository: `npm install typescript three@0.180
@types/three@0.180` and `tsc --checkJs --strict` over the folder.
"""
