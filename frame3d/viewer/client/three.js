// What the viewer takes from the three.js bundle, and nothing else of it: the one adapter.

/**
 * @typedef {object} Kit
 * @property {typeof import("three")} THREE the library's own namespace
 * @property {typeof import("three/addons/loaders/GLTFLoader.js").GLTFLoader} GLTFLoader
 * @property {typeof import("three/addons/controls/OrbitControls.js").OrbitControls} OrbitControls
 */

/**
 * The parts of the bundle that the viewer needs, whether it exports them by name or by default.
 * @param {any} bundle the module, as `import()` gives it
 * @returns {Kit}
 */
export function adapt(bundle) {
  const shapes = [bundle, bundle?.default].filter((shape) => shape?.THREE !== undefined);
  if (shapes.length === 0) {
    throw new Error("the three.js bundle exports no THREE, by name or by default");
  }
  const { THREE, GLTFLoader, OrbitControls } = shapes[0];
  const missing = Object.entries({ GLTFLoader, OrbitControls, WebGLRenderer: THREE.WebGLRenderer })
    .filter(([, value]) => typeof value !== "function")
    .map(([name]) => name);
  if (missing.length > 0) {
    throw new Error(`the three.js bundle lacks ${missing.join(", ")}`);
  }
  return { THREE, GLTFLoader, OrbitControls };
}
