// Paint: what surfaces are drawn with. The picture of a lit ball (`shade.js`) is looked up where the
// ball faces the same way, found at each corner of a triangle and carried over it.
//
// Its colours are a screen's already and go to the picture as they are. Software renderers, which feel
// each step at each point, draw so in half the time that a general material takes.

const PAINT = {
  vertex: `
    #include <clipping_planes_pars_vertex>
    varying vec2 place;
    void main() {
      #include <begin_vertex>
      #include <project_vertex>
      #include <clipping_planes_vertex>
      // Right and up as the eye sees them on its way to this corner.
      vec3 toward = normalize(-mvPosition.xyz);
      vec3 right = normalize(vec3(toward.z, 0.0, -toward.x));
      vec3 up = cross(toward, right);
      vec3 facing = normalize(normalMatrix * normal);
      place = vec2(dot(right, facing), dot(up, facing)) * 0.495 + 0.5;
    }`,
  fragment: `
    #include <clipping_planes_pars_fragment>
    uniform sampler2D ball;
    uniform float cover;
    varying vec2 place;
    void main() {
      #include <clipping_planes_fragment>
      gl_FragColor = vec4(texture2D(ball, place).rgb, cover);
    }`,
};

/**
 * A material whose ball and cover `paint` sets.
 * @param {import("./three.js").Kit} kit
 * @returns {import("three").ShaderMaterial}
 */
export function paintOf({ THREE }) {
  return new THREE.ShaderMaterial({
    vertexShader: PAINT.vertex, fragmentShader: PAINT.fragment, clipping: true,
    uniforms: { ball: { value: null }, cover: { value: 1 } },
    polygonOffset: true, polygonOffsetFactor: 1, polygonOffsetUnits: 1,
  });
}

/**
 * @param {import("three").ShaderMaterial} material
 * @param {import("three").Texture} ball
 * @param {number} cover 0 to 1, less than 1 where what is behind shows through
 */
export function paint(material, ball, cover) {
  material.uniforms.ball.value = ball;
  material.uniforms.cover.value = cover;
}
