// Shade: what a surface looks like in the studio, by its finish and colour, as a picture of a ball.
//
// A material takes its colour from the ball, at the place where the ball faces the same way (a
// "matcap"). The lamps so turn with the eye, a drawing costs one look-up for each point, and old
// phones and computers without a graphics card keep up.

/** @typedef {"paint" | "rubber" | "alloy" | "steel" | "soft"} Finish */

/**
 * @typedef {object} Surface
 * @property {number} metal how far the colour is that of the mirror and not of the ground: 0 to 1
 * @property {number} gloss how sharp the lamps show in it: 0 to 1
 * @property {number} mirror share of light that it throws back straight on, where it is no metal
 */

/** @type {Record<Finish, Surface>} */
export const SURFACES = {
  paint: { metal: 0.1, gloss: 0.86, mirror: 0.085 },
  rubber: { metal: 0, gloss: 0.16, mirror: 0.035 },
  alloy: { metal: 0.4, gloss: 0.66, mirror: 0.075 },
  steel: { metal: 0.8, gloss: 0.72, mirror: 0.08 },
  soft: { metal: 0, gloss: 0.3, mirror: 0.035 },
};

/** @typedef {[number, number, number]} Triple */

/**
 * Soft boxes: where they are as the eye sees it (x right, y up, z toward the eye), half sizes as
 * tangents, strength.
 * @type {{to: Triple, wide: number, high: number, strength: number}[]}
 */
const LAMPS = [
  { to: [-0.25, 0.86, 0.44], wide: 1.2, high: 0.3, strength: 4.6 },
  { to: [0.9, 0.22, 0.37], wide: 0.2, high: 0.9, strength: 2.4 },
  { to: [-0.93, 0.12, 0.3], wide: 0.22, high: 0.8, strength: 1.6 },
];
const KEY = unit([-0.3, 0.72, 0.62]);
const BALL = 128; // pixels

/**
 * The ball's picture: what comes from a point of the surface that faces (x, y, z).
 * @param {Surface} surface
 * @param {Triple} colour linear, 0 to 1
 * @param {Triple} n unit vector
 * @param {number} rim strength of the light from behind
 * @returns {Triple} linear
 */
export function shadeAt(surface, colour, n, rim) {
  // The eye is at +z: where the surface mirrors it from.
  const mirrored = /** @type {Triple} */ ([2 * n[2] * n[0], 2 * n[2] * n[1], 2 * n[2] * n[2] - 1]);
  const key = Math.max((n[0] * KEY[0] + n[1] * KEY[1] + n[2] * KEY[2] + 0.25) / 1.25, 0);
  const ground = 0.3 + 0.2 * n[1] + 0.05 * n[0];
  const light = ground + 0.86 * key;
  const room = 0.3 + 0.26 * smooth(-0.3, 0.9, mirrored[1]);
  const lamps = LAMPS.reduce((sum, lamp) => sum + seen(lamp, mirrored, surface.gloss), 0);
  const graze = (1 - n[2]) ** 5;
  const back = rim * (1 - n[2]) ** 3 * (0.5 + 0.5 * n[1]);
  return /** @type {Triple} */ (
    colour.map((c) => {
      const straight = surface.mirror + (0.9 * c - surface.mirror + 0.06) * surface.metal;
      const share = straight + (1 - straight) * graze * (0.25 + 0.5 * surface.gloss);
      const own = c * light * (1 - 0.75 * surface.metal);
      return own + share * (room + lamps) * (0.35 + 0.65 * surface.gloss) + back;
    })
  );
}

/**
 * How much of a lamp shows in a direction.
 * @param {{to: Triple, wide: number, high: number, strength: number}} lamp
 * @param {Triple} way
 * @param {number} gloss
 */
function seen({ to, wide, high, strength }, way, gloss) {
  const front = unit(to);
  const depth = way[0] * front[0] + way[1] * front[1] + way[2] * front[2];
  if (depth <= 0.05) return 0;
  const right = unit([front[2], 0, -front[0]]);
  const up = [
    front[1] * right[2] - front[2] * right[1],
    front[2] * right[0] - front[0] * right[2],
    front[0] * right[1] - front[1] * right[0],
  ];
  const x = Math.abs(way[0] * right[0] + way[1] * right[1] + way[2] * right[2]) / depth;
  const y = Math.abs(way[0] * up[0] + way[1] * up[1] + way[2] * up[2]) / depth;
  const blur = 0.12 + 1.1 * (1 - gloss) ** 2;
  // What is blurred is spread, and so weaker.
  const spread = (wide * high) / ((wide + blur) * (high + blur));
  return strength * (0.35 + 0.65 * spread) *
    (1 - smooth(wide - blur, wide + blur, x)) * (1 - smooth(high - blur, high + blur, y));
}

export class Shades {
  /** @param {import("./three.js").Kit} kit */
  constructor(kit) {
    this.THREE = kit.THREE;
    this.rim = 0;
    /** @type {Map<string, import("three").Texture>} */
    this.made = new Map();
  }

  /** @param {import("./theme.js").Theme} theme */
  theme(theme) {
    if (this.rim !== theme.rimLight) this.clear();
    this.rim = theme.rimLight;
  }

  /**
   * @param {Finish} finish
   * @param {string} colour
   * @param {string} [toward] another colour to mix in
   * @param {number} [share] of that
   * @returns {import("three").Texture}
   */
  of(finish, colour, toward, share = 0) {
    const { THREE } = this;
    const mixed = new THREE.Color(colour);
    if (toward !== undefined) mixed.lerp(new THREE.Color(toward), share);
    const key = `${finish} ${mixed.getHexString()}`;
    const texture = this.made.get(key) ?? this.ball(SURFACES[finish], mixed);
    this.made.set(key, texture);
    return texture;
  }

  /**
   * @param {Surface} surface
   * @param {import("three").Color} colour
   */
  ball(surface, colour) {
    const { THREE } = this;
    const pixels = new Uint8Array(4 * BALL * BALL);
    const own = /** @type {Triple} */ ([colour.r, colour.g, colour.b]);
    for (let i = 0; i < BALL * BALL; i += 1) {
      // A little inside the rim, so that silhouettes stay clean.
      const x = 1.02 * ((2 * ((i % BALL) + 0.5)) / BALL - 1);
      const y = 1.02 * ((2 * (Math.floor(i / BALL) + 0.5)) / BALL - 1);
      const out = Math.max(Math.hypot(x, y) / 0.999, 1);
      const z = Math.sqrt(1 - (x * x + y * y) / (out * out));
      const shade = shadeAt(surface, own, [x / out, y / out, z], this.rim);
      for (let k = 0; k < 3; k += 1) pixels[4 * i + k] = 255 * encoded(shade[k]);
      pixels[4 * i + 3] = 255;
    }
    const texture = new THREE.DataTexture(pixels, BALL, BALL);
    texture.colorSpace = THREE.SRGBColorSpace;
    texture.magFilter = texture.minFilter = THREE.LinearFilter;
    texture.needsUpdate = true;
    return texture;
  }

  clear() {
    for (const texture of this.made.values()) texture.dispose();
    this.made.clear();
  }
}

/**
 * From linear light to a screen's value, bright light rolled off.
 * @param {number} value
 */
function encoded(value) {
  const soft = value < 0.7 ? value : 0.7 + 0.3 * (1 - Math.exp((0.7 - value) / 0.3));
  return soft <= 0.0031308 ? 12.92 * soft : 1.055 * soft ** (1 / 2.4) - 0.055;
}

/**
 * @param {number} low
 * @param {number} high
 * @param {number} value
 */
function smooth(low, high, value) {
  const t = Math.min(Math.max((value - low) / (high - low), 0), 1);
  return t * t * (3 - 2 * t);
}

/**
 * @param {Triple} v
 * @returns {Triple}
 */
function unit(v) {
  const size = Math.hypot(...v);
  return [v[0] / size, v[1] / size, v[2] / size];
}
