/** The glue that wasm-bindgen writes beside the module. */
export type Glue = typeof import('../pkg/web.js');
export type { Figures, Picture, SceneDocument, SoftwarePicture } from '../pkg/web.js';

/** A piece with its shape. */
export type PieceOutline = PieceShape;

/** A window with its pieces. */
export type WindowOutline = WindowOverview & WindowShapes;

/** The scene at a glance with the shapes of its windows, as the page puts the two answers together. */
export interface Overview extends Omit<SceneOverview, 'windows'> {
  windows: WindowOutline[];
}

/** A named place to view from. */
export type Place = ViewingPlace;

/** What can be given of the air. */
export type AirField = keyof Air;

/** One of the six surfaces of the room. */
export type RoomSurface = keyof Surfaces;

/** What is changed of a layer of paint; what is not given stays. */
export type PaintChange = Omit<Extract<Change, { change: 'paint' }>, 'change' | 'paint'>;

/** What is changed of how a layer scatters; what is not given stays, or is as usual again. */
export type ScatteringChange = Omit<Extract<Change, { change: 'scattering' }>, 'change' | 'layer'>;

/** What is changed of dirt or corrosion; what is not given stays. */
export type DepositChange = Omit<Extract<Change, { change: 'deposit' }>, 'change' | 'face'>;
