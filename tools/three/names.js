// What of the library the page asks for; whatever no name here leads to is left out of three.min.js.
export {
  BufferAttribute, BufferGeometry, Color, DoubleSide, FrontSide, Group, Mesh, MeshBasicMaterial,
  PerspectiveCamera, Plane, Quaternion, Raycaster, Scene, ShapeUtils, Vector2, Vector3, WebGLRenderer,
} from "three";
