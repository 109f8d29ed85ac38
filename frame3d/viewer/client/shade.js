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
 */
const LAMPS = [
  lamp([-0.25, 0.86, 0.44], 1.2, 0.3, 4.6),
  lamp([0.9, 0.22, 0.37], 0.2, 0.9, 2.4),
  lamp([-0.93, 0.12, 0.3], 0.22, 0.8, 1.6),
];
const KEY = unit([-0.3, 0.72, 0.62]);
const BALL = 96; // pixels

/**
 * The light on a point of the ball that faces (x, y, z), whatever its colour.
 * @param {Surface} surface
 * @param {Triple} n unit vector
 * @param {number} rim strength of the light from behind
 * @returns {[number, number, number, number]} light on the ground colour; how much more it mirrors
 *   for being seen at a slant; light in the mirror; light from behind
 */
export function lightOn(surface, n, rim) {
  const key = Math.max((n[0] * KEY[0] + n[1] * KEY[1] + n[2] * KEY[2] + 0.25) / 1.25, 0);
  const light = 0.3 + 0.2 * n[1] + 0.05 * n[0] + 0.86 * key;
  // The eye is at +z: where the surface mirrors it from.
  const [x, y, z] = [2 * n[2] * n[0], 2 * n[2] * n[1], 2 * n[2] * n[2] - 1];
  let mirrored = 0.3 + 0.26 * smooth(-0.3, 0.9, y);
  for (const each of LAMPS) mirrored += seen(each, x, y, z, surface.gloss);
  const slant = (1 - n[2]) ** 5 * (0.25 + 0.5 * surface.gloss);
  const behind = rim * (1 - n[2]) ** 3 * (0.5 + 0.5 * n[1]);
  return [light, slant, mirrored * (0.35 + 0.65 * surface.gloss), behind];
}

/**
 * What comes from a surface of a colour in that light.
 * @param {Surface} surface
 * @param {number} colour red, green or blue, linear, 0 to 1
 * @param {ArrayLike<number>} light four numbers from `at` on
 * @param {number} [at]
 * @returns {number} linear
 */
export function shadeOf(surface, colour, light, at = 0) {
  const { metal, mirror } = surface;
  const straight = mirror + (0.9 * colour - mirror + 0.06) * metal;
  const share = straight + (1 - straight) * light[at + 1];
  return colour * light[at] * (1 - 0.75 * metal) + share * light[at + 2] + light[at + 3];
}

/**
 * @param {Triple} to
 * @param {number} wide
 * @param {number} high
 * @param {number} strength
 */
function lamp(to, wide, high, strength) {
  const front = unit(to);
  const right = unit([front[2], 0, -front[0]]);
  const up = unit([
    front[1] * right[2] - front[2] * right[1],
    front[2] * right[0] - front[0] * right[2],
    front[0] * right[1] - front[1] * right[0],
  ]);
  return { front, right, up, wide, high, strength };
}

/**
 * How much of a lamp shows in a direction.
 * @param {ReturnType<typeof lamp>} lamp
 * @param {number} x
 * @param {number} y
 * @param {number} z
 * @param {number} gloss
 */
function seen({ front, right, up, wide, high, strength }, x, y, z, gloss) {
  const depth = x * front[0] + y * front[1] + z * front[2];
  if (depth <= 0.05) return 0;
  const across = Math.abs(x * right[0] + y * right[1] + z * right[2]) / depth;
  const along = Math.abs(x * up[0] + y * up[1] + z * up[2]) / depth;
  const blur = 0.12 + 1.1 * (1 - gloss) ** 2;
  // What is blurred is spread, and so weaker.
  const spread = (wide * high) / ((wide + blur) * (high + blur));
  return strength * (0.35 + 0.65 * spread) *
    (1 - smooth(wide - blur, wide + blur, across)) *
    (1 - smooth(high - blur, high + blur, along));
}

export class Shades {
  /** @param {import("./three.js").Kit} kit */
  constructor(kit) {
    this.THREE = kit.THREE;
    this.rim = 0;
    /** @type {Map<string, import("three").Texture>} */
    this.made = new Map();
    /** @type {Map<Surface, Float32Array>} */
    this.lit = new Map();
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
    const light = this.lit.get(surface) ?? litBall(surface, this.rim);
    this.lit.set(surface, light);
    const pixels = new Uint8Array(4 * BALL * BALL).fill(255);
    for (let i = 0; i < pixels.length; i += 4) {
      pixels[i] = 255 * encoded(shadeOf(surface, colour.r, light, i));
      pixels[i + 1] = 255 * encoded(shadeOf(surface, colour.g, light, i));
      pixels[i + 2] = 255 * encoded(shadeOf(surface, colour.b, light, i));
    }
    const texture = new THREE.DataTexture(pixels, BALL, BALL);
    texture.magFilter = texture.minFilter = THREE.LinearFilter;
    texture.needsUpdate = true;
    return texture;
  }

  clear() {
    for (const texture of this.made.values()) texture.dispose();
    this.made.clear();
    this.lit.clear();
  }
}

/**
 * The light on every pixel of the ball's picture, from its lower left.
 * @param {Surface} surface
 * @param {number} rim
 */
function litBall(surface, rim) {
  const out = new Float32Array(4 * BALL * BALL);
  for (let i = 0; i < BALL * BALL; i += 1) {
    // A little inside the rim, so that silhouettes stay clean.
    const x = 1.02 * ((2 * ((i % BALL) + 0.5)) / BALL - 1);
    const y = 1.02 * ((2 * (Math.floor(i / BALL) + 0.5)) / BALL - 1);
    const beyond = Math.max(Math.hypot(x, y) / 0.999, 1);
    const z = Math.sqrt(1 - (x * x + y * y) / (beyond * beyond));
    out.set(lightOn(surface, [x / beyond, y / beyond, z], rim), 4 * i);
  }
  return out;
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
