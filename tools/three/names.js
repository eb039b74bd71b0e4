// What of the library the page asks for; whatever no name here leads to is left out of three.min.js.
export {
  ACESFilmicToneMapping, BoxGeometry, BufferAttribute, BufferGeometry, Color, DirectionalLight, DoubleSide, FrontSide, Group,
  Line, LineBasicMaterial, Mesh, MeshBasicMaterial, MeshStandardMaterial, PerspectiveCamera, Plane, PMREMGenerator,
  Quaternion, Raycaster, Scene, ShapeUtils, Vector2, Vector3, WebGLRenderer,
} from "three";
