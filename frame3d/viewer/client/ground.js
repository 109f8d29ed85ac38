// Ground: a soft shadow where the bike is close to it, so that it stands and does not float.
//
// Parts are drawn once from below, darker the closer they are, and blurred.

const REACH = 420; // higher up, a part darkens the ground no more [mm]
const SIZE = 160; // pixels of the shadow's picture: it is soft, and software renderers feel each
const WIDER = 1.25; // than the bike
const CALM = 500; // models that follow each other faster share a shadow [ms]
export const CASTS = 1; // layer of what darkens the ground

const CLOSE = {
  vertex: `
    #include <clipping_planes_pars_vertex>
    void main() {
      #include <begin_vertex>
      #include <project_vertex>
      #include <clipping_planes_vertex>
    }`,
  fragment: `
    #include <clipping_planes_pars_fragment>
    void main() {
      #include <clipping_planes_fragment>
      float near = 1.0 - gl_FragCoord.z;
      gl_FragColor = vec4(vec3(0.0), 0.12 * near + 0.88 * near * near * near);
    }`,
};

const BLUR = {
  vertex: `
    varying vec2 place;
    void main() {
      place = uv;
      gl_Position = vec4(position.xy, 0.0, 1.0);
    }`,
  // A bell 1.3 pixels wide: places between two pixels give both, weighed as the bell has them.
  fragment: `
    uniform sampler2D picture;
    uniform vec2 step;
    varying vec2 place;
    void main() {
      float sum = 0.307 * texture2D(picture, place).a;
      sum += 0.3224 * (texture2D(picture, place + 1.292 * step).a
        + texture2D(picture, place - 1.292 * step).a);
      sum += 0.0241 * (texture2D(picture, place + 3.112 * step).a
        + texture2D(picture, place - 3.112 * step).a);
      gl_FragColor = vec4(vec3(0.0), sum);
    }`,
};

export class Ground {
  /**
   * @param {import("./three.js").Kit} kit
   * @param {import("three").Scene} scene
   */
  constructor(kit, scene) {
    const { THREE } = kit;
    this.THREE = THREE;
    this.scene = scene;
    this.stale = true;
    /** Until when the shadow stays as it is: models follow each other, as under a slider [ms]. */
    this.until = 0;
    const target = () => new THREE.WebGLRenderTarget(SIZE, SIZE);
    this.pictures = [target(), target()];
    this.camera = new THREE.OrthographicCamera(-1, 1, 1, -1, 0, REACH);
    this.camera.layers.set(CASTS);
    this.close = new THREE.ShaderMaterial({
      vertexShader: CLOSE.vertex, fragmentShader: CLOSE.fragment, side: THREE.DoubleSide,
      blending: THREE.NoBlending, clipping: true,
    });
    this.blur = new THREE.ShaderMaterial({
      vertexShader: BLUR.vertex, fragmentShader: BLUR.fragment, depthTest: false,
      blending: THREE.NoBlending,
      uniforms: { picture: { value: null }, step: { value: new THREE.Vector2() } },
    });
    this.square = new THREE.PlaneGeometry(2, 2);
    this.pane = new THREE.Mesh(this.square, this.blur);
    this.pane.frustumCulled = false;
    this.pane.layers.set(CASTS);
    this.mesh = new THREE.Mesh(
      this.square,
      new THREE.MeshBasicMaterial({
        map: this.pictures[0].texture, transparent: true, depthWrite: false, toneMapped: false,
      }),
    );
    this.mesh.renderOrder = -2;
    scene.add(this.mesh);
  }

  /** @param {import("three").Box3} box of what stands on it [mm] */
  place(box) {
    const half = (WIDER * Math.max(box.max.x - box.min.x, box.max.y - box.min.y)) / 2;
    box.getCenter(this.mesh.position).setZ(box.min.z);
    this.mesh.scale.set(half, half, 1);
    // From below, with the same sides as the pane on the ground.
    this.camera.position.copy(this.mesh.position);
    this.camera.up.set(0, 1, 0);
    this.camera.lookAt(this.camera.position.x, this.camera.position.y, box.min.z + 1);
    [this.camera.left, this.camera.right] = [half, -half]; // seen from below, sides change places
    [this.camera.bottom, this.camera.top] = [-half, half];
    this.camera.updateProjectionMatrix();
    this.camera.updateMatrixWorld();
    this.stale = true;
  }

  /**
   * Keep the shadow for a moment, as another model is likely to come.
   * @param {() => void} calm called when none has come
   */
  wait(calm) {
    this.until = performance.now() + CALM;
    clearTimeout(this.timer);
    this.timer = setTimeout(calm, CALM);
  }

  /**
   * Draw the shadow anew where something has moved.
   * @param {import("three").WebGLRenderer} renderer
   */
  draw(renderer) {
    if (!this.stale || performance.now() < this.until) return;
    this.stale = false;
    const before = renderer.getRenderTarget();
    renderer.setClearColor(0x000000, 0);
    this.scene.overrideMaterial = this.close;
    renderer.setRenderTarget(this.pictures[0]);
    renderer.render(this.scene, this.camera);
    this.scene.overrideMaterial = null;
    for (const [from, to, x, y] of [[0, 1, 1, 0], [1, 0, 0, 1]]) {
      this.blur.uniforms.picture.value = this.pictures[from].texture;
      this.blur.uniforms.step.value.set(x / SIZE, y / SIZE);
      renderer.setRenderTarget(this.pictures[to]);
      renderer.render(this.pane, this.camera);
    }
    renderer.setRenderTarget(before);
  }

  /** @param {import("three").Plane[]} planes that cut the bike open */
  clip(planes) {
    this.close.clippingPlanes = planes;
    this.stale = true;
  }

  /** @param {number} strength 0 to 1 */
  shade(strength) {
    this.mesh.material.opacity = strength;
  }

  dispose() {
    clearTimeout(this.timer);
    for (const picture of this.pictures) picture.dispose();
    this.close.dispose();
    this.blur.dispose();
    this.square.dispose();
    this.mesh.material.dispose();
    this.mesh.removeFromParent();
  }
}
