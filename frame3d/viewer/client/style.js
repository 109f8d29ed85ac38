// Style: how the viewer's own elements look; everything else on the page is the page's.

const SHEET = `
:where(.f3d) { position: relative; }
.f3d { overflow: hidden; isolation: isolate;
  background: radial-gradient(ellipse at 50% 42%, var(--f3d-middle), var(--f3d-rim));
  font: 500 13px/1.35 system-ui, "Segoe UI", Roboto, "Helvetica Neue", sans-serif; }
.f3d canvas { position: absolute; inset: 0; display: block; outline: none; cursor: grab;
  touch-action: none; transition: opacity 0.25s, filter 0.25s; }
.f3d canvas:active { cursor: grabbing; }
.f3d[data-measure] canvas { cursor: crosshair; }
.f3d[data-dim] canvas { opacity: 0.45; filter: grayscale(0.6); }
.f3d:has(canvas:focus-visible)::after { content: ""; position: absolute; inset: 0;
  pointer-events: none; z-index: 3; border-radius: inherit;
  box-shadow: inset 0 0 0 3px var(--f3d-accent); }
.f3d-labels { position: absolute; inset: 0; overflow: hidden; pointer-events: none; z-index: 1; }
.f3d-label { position: absolute; left: 0; top: 0; max-width: min(18rem, 80%); padding: 3px 9px;
  box-sizing: border-box; color: var(--f3d-ink); background: var(--f3d-surface);
  border: 1.5px solid var(--f3d-tone, var(--f3d-ink)); border-radius: 999px;
  box-shadow: 0 1px 5px rgb(0 0 0 / 18%); font-variant-numeric: tabular-nums;
  white-space: nowrap; overflow: hidden; text-overflow: ellipsis; will-change: transform; }
.f3d-label b { font-weight: 650; }
.f3d-label span { display: block; font-size: 12px; overflow: hidden; text-overflow: ellipsis; }
.f3d-label[data-kind="accent"] { --f3d-tone: var(--f3d-accent); }
.f3d-label[data-kind="holds"] { --f3d-tone: var(--f3d-holds); }
.f3d-label[data-kind="short"] { --f3d-tone: var(--f3d-short); border-width: 2.5px;
  border-radius: 3px; }
.f3d-label[data-kind="holds"] b, .f3d-label[data-kind="short"] b,
.f3d-label[data-kind="accent"] b { color: var(--f3d-tone); }
.f3d-label[data-kind="holds"], .f3d-label[data-kind="accent"] { border-radius: 14px; }
.f3d-label[data-kind="axis"] { padding: 0 5px; font-size: 12px; border-color: transparent;
  box-shadow: none; background: color-mix(in srgb, var(--f3d-surface) 82%, transparent); }
.f3d-leaders { position: absolute; inset: 0; width: 100%; height: 100%; }
.f3d-leaders line { stroke: var(--f3d-ink); stroke-width: 1; stroke-opacity: 0.55; }
.f3d-help { position: absolute; z-index: 4; inset: auto 12px 12px auto; max-width: calc(100% - 24px);
  max-height: calc(100% - 24px); overflow: auto; box-sizing: border-box; padding: 14px 18px;
  color: var(--f3d-ink); background: var(--f3d-surface); border-radius: 10px;
  box-shadow: 0 6px 28px rgb(0 0 0 / 28%); }
.f3d-help[hidden] { display: none; }
.f3d-help h2 { margin: 0 0 8px; font-size: 14px; font-weight: 650; }
.f3d-help dl { display: grid; grid-template-columns: auto 1fr; gap: 4px 14px; margin: 0; }
.f3d-help dt { font-weight: 650; }
.f3d-help dd { margin: 0; }
@media (prefers-reduced-motion: reduce) { .f3d canvas { transition: none; } }
@media (forced-colors: active) { .f3d-label { border: 2px solid CanvasText; } }
`;

/**
 * Give the document the viewer's style.
 * A sheet made by script needs no permission in the page's content security policy.
 * @param {Document} document
 * @returns {() => void} takes it away again
 */
export function dress(document) {
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(SHEET);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
  return () => {
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((other) => other !== sheet);
  };
}
