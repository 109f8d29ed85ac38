// Section: cuts the model open along a plane and closes the cut faces, hatched as on a drawing.
//
// Caps by stencil: where the back faces of a closed part outnumber its front faces on the kept side,
// the plane runs through its material.

import { sliced } from "./slice.js";

/** @typedef {"x" | "y" | "z"} Axis */

/**
 * @typedef {object} SectionPlace
 * @property {Axis} axis
 * @property {number} at [mm]
 * @property {boolean} [flip]
 */

/**
 * Which half is cut away: the one toward the standard view of the axis (front, drive side, top), so
 * that this view looks at the cut.
 * @type {Record<Axis, number>}
 */
const AWAY = { x: 1, y: -1, z: 1 };

const HATCH = {
  vertex: `
    void main() {
      gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
    }`,
  fragment: `
    uniform vec3 face;
    uniform vec3 line;
    uniform float slope;
    uniform float sharp;
    void main() {
      float across = (gl_FragCoord.x + slope * gl_FragCoord.y) / (7.0 * sharp);
      float place = abs(fract(across) - 0.5);
      gl_FragColor = vec4(mix(line, face, smoothstep(0.08, 0.2, place)), 1.0);
      #include <colorspace_fragment>
    }`,
};

export class Section {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("./stage.js").Stage} stage
   */
  constructor(kit, stage) {
    const { THREE } = kit;
    this.THREE = THREE;
    this.stage = stage;
    /** @type {SectionPlace | null} */
    this.place = null;
    /** Of the kept side, in the world. */
    this.plane = new THREE.Plane();
    /** The same in the frame's axes. */
    this.own = new THREE.Plane();
    /** @type {Map<import("./part.js").Part, Cut>} */
    this.cuts = new Map();
    this.back = this.counter(THREE.BackSide, THREE.IncrementWrapStencilOp);
    this.front = this.counter(THREE.FrontSide, THREE.DecrementWrapStencilOp);
    this.outline = new THREE.LineSegments(
      new THREE.BufferGeometry(),
      new THREE.LineBasicMaterial({ toneMapped: false }),
    );
    this.outline.frustumCulled = false;
    this.outline.renderOrder = 4;
    this.outline.visible = false;
    this.square = new THREE.PlaneGeometry(1, 1);
    stage.bike.add(this.outline);
    /** @type {import("./theme.js").Theme | undefined} */
    this.theme = undefined;
  }

  /**
   * A material that counts faces.
   * @param {import("three").Side} side
   * @param {import("three").StencilOp} operation
   */
  counter(side, operation) {
    const material = new this.THREE.MeshBasicMaterial({
      side, colorWrite: false, depthWrite: false, depthTest: false, stencilWrite: true,
      stencilFunc: this.THREE.AlwaysStencilFunc, clippingPlanes: [this.plane],
    });
    material.stencilZPass = material.stencilZFail = material.stencilFail = operation;
    return material;
  }

  /**
   * Cut, or make whole again.
   * @param {SectionPlace | null} place
   * @param {import("./model.js").Model} model
   */
  set(place, model) {
    this.place = place;
    this.clip(model);
    this.stage.ground.clip(place === null ? [] : [this.plane]);
    if (place !== null) {
      const side = AWAY[place.axis] * (place.flip === true ? -1 : 1);
      const normal = new this.THREE.Vector3();
      normal[place.axis] = -side;
      this.own.set(normal, side * place.at);
    }
    this.refresh(model);
  }

  /**
   * Cut another model too, without closing its faces.
   * @param {import("./model.js").Model} model
   */
  clip(model) {
    for (const part of model.all) part.clip(this.place === null ? [] : [this.plane]);
  }

  /**
   * Make caps and outlines anew for where the parts stand.
   * @param {import("./model.js").Model} model
   */
  refresh(model) {
    const parts = this.place === null ? [] : model.visible.filter((part) => this.meets(part));
    for (const [part, cut] of this.cuts) if (!parts.includes(part)) this.drop(part, cut);
    this.outline.visible = parts.length > 0;
    if (this.place === null) return;
    this.plane.copy(this.own).applyMatrix4(this.stage.bike.matrixWorld);
    /** @type {number[]} */
    const lines = [];
    parts.forEach((part, i) => {
      const outline = this.linesOf(part);
      const cut = this.cuts.get(part) ?? this.open(part);
      cut.order(i);
      this.lay(cut, outline);
      for (const x of outline) lines.push(x);
    });
    this.outline.geometry.dispose();
    this.outline.geometry = new this.THREE.BufferGeometry();
    this.outline.geometry.setAttribute("position", new this.THREE.Float32BufferAttribute(lines, 3));
  }

  /** @param {import("./part.js").Part} part */
  meets(part) {
    return part.look !== "ghost" && this.own.intersectsBox(part.box());
  }

  /** @param {import("./part.js").Part} part */
  open(part) {
    const cut = new Cut(this, part, this.cuts.size);
    this.cuts.set(part, cut);
    cut.paint(part, this.theme);
    return cut;
  }

  /**
   * The square of a cap: in the plane, no larger than the cut. (At the rim of what is cut away, a
   * sample of a pixel now and then escapes the plane; it must not be seen, nor counted for others.)
   * @param {Cut} cut
   * @param {number[]} outline
   */
  lay(cut, outline) {
    const box = new this.THREE.Box3().setFromArray(outline);
    cut.cap.visible = outline.length > 0;
    box.getCenter(cut.cap.position);
    const size = box.getSize(new this.THREE.Vector3());
    // A square turned into the plane: its own axes are those of the frame that lie in it.
    const axis = this.place?.axis;
    cut.cap.rotation.set(axis === "y" ? Math.PI / 2 : 0, axis === "x" ? Math.PI / 2 : 0, 0);
    const [wide, high] = axis === "x" ? [size.z, size.y] : axis === "y" ? [size.x, size.z] :
      [size.x, size.y];
    cut.cap.scale.set(wide, high, 1);
  }

  /**
   * Outline of a part's cut in the frame's axes.
   * @param {import("./part.js").Part} part
   */
  linesOf(part) {
    const { Vector3 } = this.THREE;
    const inverse = part.object.matrix.clone().invert();
    const local = this.own.clone().applyMatrix4(inverse);
    const { normal, constant } = local;
    const { index, attributes: { position } } = part.body;
    const ends = sliced(position.array, index.array, [normal.x, normal.y, normal.z], constant);
    const out = [];
    const point = new Vector3();
    for (let i = 0; i < ends.length; i += 3) {
      point.set(ends[i], ends[i + 1], ends[i + 2]).applyMatrix4(part.object.matrix);
      out.push(point.x, point.y, point.z);
    }
    return out;
  }

  /**
   * @param {import("./part.js").Part} part
   * @param {Cut} cut
   */
  drop(part, cut) {
    cut.dispose();
    this.cuts.delete(part);
  }

  /**
   * Whether a point of the world is cut away.
   * @param {import("three").Vector3} point
   */
  hides(point) {
    return this.place !== null && this.plane.distanceToPoint(point) < -1e-6;
  }

  /** @param {import("./theme.js").Theme} theme */
  paint(theme) {
    this.theme = theme;
    this.outline.material.color.set(theme.cut);
    for (const [part, cut] of this.cuts) cut.paint(part, theme);
  }

  /** Forget all cuts: the model goes. */
  clear() {
    for (const [part, cut] of this.cuts) this.drop(part, cut);
  }

  dispose() {
    this.clear();
    this.back.dispose();
    this.front.dispose();
    this.square.dispose();
    this.outline.geometry.dispose();
    this.outline.material.dispose();
    this.outline.removeFromParent();
  }
}

/** The cut through one part: two counters and a cap. */
class Cut {
  /**
   * @param {Section} section
   * @param {import("./part.js").Part} part
   * @param {number} number
   */
  constructor(section, part, number) {
    const { THREE } = section;
    this.counters = [section.back, section.front].map((material) => {
      const mesh = new THREE.Mesh(part.body, material);
      part.object.add(mesh);
      return mesh;
    });
    this.material = new THREE.ShaderMaterial({
      uniforms: {
        face: { value: new THREE.Color() },
        line: { value: new THREE.Color() },
        slope: { value: number % 2 === 0 ? 1 : -1 },
        sharp: { value: section.stage.renderer.getPixelRatio() },
      },
      vertexShader: HATCH.vertex,
      fragmentShader: HATCH.fragment,
      side: THREE.DoubleSide,
      stencilWrite: true,
      stencilRef: 0,
      stencilFunc: THREE.NotEqualStencilFunc,
    });
    this.cap = new THREE.Mesh(section.square, this.material);
    this.cap.onAfterRender = (renderer) => renderer.clearStencil();
    section.stage.bike.add(this.cap);
  }

  /** @param {number} place among the cuts: each counts and closes before the next counts */
  order(place) {
    for (const counter of this.counters) counter.renderOrder = -1 + place / 1000;
    this.cap.renderOrder = -1 + (place + 0.5) / 1000;
  }

  /**
   * @param {import("./part.js").Part} part
   * @param {import("./theme.js").Theme | undefined} theme
   */
  paint(part, theme) {
    const face = this.material.uniforms.face.value.set(part.data.colour);
    // Cut faces are pale, so that the hatching and thin walls stand out.
    face.lerp(face.clone().setRGB(1, 1, 1), 0.45);
    this.material.uniforms.line.value.copy(face).multiplyScalar(0.45);
    if (theme !== undefined && part.look === "chosen") face.set(theme.accent);
  }

  dispose() {
    for (const counter of this.counters) counter.removeFromParent();
    this.cap.removeFromParent();
    this.material.dispose();
  }
}
