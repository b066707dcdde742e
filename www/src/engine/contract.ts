// Shapes of what crosses between the page and the wasm module. The module owns them (crate/web); everything is JSON
// text on the way. Lengths mm in the panel plane (y down from the upper edge), m in the room; angles degrees.

/** The glue that wasm-bindgen writes beside the module. */
export type Glue = typeof import('../pkg/web.js');
export type { Figures, Picture, SceneDocument, SoftwarePicture } from '../pkg/web.js';

export interface Fault {
  /** Place in the document; empty for the whole. */
  path: string;
  expected: string;
  found: string;
}

export interface DemoName {
  id: string;
  name: string;
  note: string;
}

export interface PieceOutline {
  id: number;
  glass: string;
  /** SVG path of what lies between the leads. */
  path: string;
  centre_mm: [number, number];
}

export interface WindowOutline {
  id: string;
  width_mm: number;
  height_mm: number;
  opening: string;
  pieces: PieceOutline[];
}

export interface Place {
  name: string;
  distance_m: number;
  right_m: number;
  eye_height_m: number;
}

/** Who looks: how light spreads in the eye. */
export interface Viewer {
  /** 5–100. */
  age_years: number;
  /** 0 very dark eyes, 0.5 brown, 1 blue, 1.2 very light. */
  pigmentation: number;
}

export interface VariantName {
  name: string;
  note: string;
  /** How many things it has otherwise than the scene as drawn. */
  differences: number;
}

/** What is done with the variants themselves. */
export type Vary =
  | { variant: 'show'; name: string | null }
  | { variant: 'add'; name: string; note?: string }
  | { variant: 'rename'; name: string; to: string }
  | { variant: 'note'; name: string; note: string }
  | { variant: 'remove'; name: string }
  | { variant: 'duplicate'; name: string; to: string }
  | { variant: 'make_scene'; name: string };

export interface Overview {
  name: string;
  note: string;
  at: string;
  utc: string | null;
  time_zone: string;
  local_note: string | null;
  windows: WindowOutline[];
  places: Place[];
  viewer: Viewer;
  variants: VariantName[];
  /** The variant that is shown; null for the scene as drawn. */
  shown: string | null;
  /** What the last action took out of variants because it no longer fits the scene. */
  left_out: string[];
  sky: string;
  notes: string[];
}

export interface Site {
  latitude_deg: number;
  longitude_deg: number;
  elevation_m?: number;
  time_zone: string;
}

export type AirField = 'aerosol_depth_500nm' | 'angstrom_exponent' | 'water_cm' | 'ozone_atm_cm';

/** What is not given is usual. */
export type Air = Partial<Record<AirField, number>>;

export type SkySpectrum = { cct_k: number } | 'clear_diffuse';

export type Sky =
  | { kind: 'clear'; air?: Air }
  | { kind: 'overcast'; cloud: number; air?: Air }
  | { kind: 'standard'; cie_type: number; spectrum: SkySpectrum; diffuse_horizontal_lx?: number };

export type Reflectance = { grey: number } | { material: string } | { samples: number[] };

export type RoomSurface = 'window_wall' | 'back_wall' | 'left_wall' | 'right_wall' | 'floor' | 'ceiling';

export interface Room {
  width_m: number;
  height_m: number;
  depth_m: number;
  facing_deg: number;
  surfaces: Record<RoomSurface, Reflectance>;
}

/** What is around the windows, as the scene has it. */
export interface Surroundings {
  site: Site;
  sky: Sky;
  /** Which of the kinds of weather this sky is. */
  weather: string;
  ground: Reflectance;
  horizon: {
    skyline?: { bearing_deg: number; altitude_deg: number }[];
    trees?: { from_bearing_deg: number; to_bearing_deg: number; altitude_deg: number }[];
  };
  room: Room;
  /** In the window wall, metres. */
  windows: { id: string; centre_x_m: number; sill_height_m: number; width_m: number; height_m: number }[];
  /** What is doubtful, in sentences. */
  cautions: string[];
}

/** What there is to choose from. */
export interface Choices {
  weathers: { id: string; name: string; sky: Sky }[];
  standard_skies: { cie_type: number; words: string; /** Whether the sun is seen in it. */ sun: boolean }[];
  surfaces: { name: string; /** Of daylight, 0–1. */ share: number; of: 'ground' | 'room' }[];
  zones: string[];
  usual_air: Record<AirField, number>;
}

export interface SunPoint {
  /** Of the civil day. */
  minute: number;
  azimuth_deg: number;
  altitude_deg: number;
}

export interface SunPath {
  date: string;
  points: SunPoint[];
  sunrise: SunPoint | null;
  sunset: SunPoint | null;
}

export interface Plate {
  glass: string;
  thickness_mm: number;
  [more: string]: unknown;
}

export type Face = 'outside' | 'inside';
export type EnamelColour = 'blue' | 'turquoise' | 'green' | 'purple' | 'rose' | 'yellow';
export type StainTone = 'lemon' | 'gold' | 'amber';
export type PaintKind = 'trace' | 'matting' | { enamel: EnamelColour } | { stain: StainTone };
export type Pigment = 'black' | 'brown' | 'sanguine';

export interface Paint {
  kind: PaintKind;
  density: number;
  [more: string]: unknown;
}

/** What a piece is made of, as the scene file says it. */
export interface Makeup {
  plates: Plate[];
  paint?: Paint[];
  [more: string]: unknown;
}

export type LayerKind = 'protective' | 'air' | 'contact' | 'glass' | 'flash' | 'paint';

/** A layer by what it is, so that other pieces can have the same; plates count from the inside. */
export interface LayerKey {
  layer: 'protective' | 'outer_air' | 'gap' | 'plate' | 'flash' | 'paint';
  plate?: number;
  face?: Face;
  kind?: 'trace' | 'matting' | 'enamel' | 'stain';
  nth?: number;
}

/** What the controls of a layer show; `null` where the chosen pieces differ, absent where the layer has no such thing. */
export interface LayerValues {
  glass?: string | null;
  thickness_mm?: number | null;
  sheet?: number | null;
  flash_left?: number | null;
  flash_face?: Face | null;
  dirt?: number;
  gap?: 'air' | 'contact';
  kind?: PaintKind | null;
  density?: number | null;
  coverage?: number | null;
  pigment?: Pigment | null;
  firing?: number | null;
  face?: Face | null;
  /** From the inside. */
  plate?: number | null;
}

export interface Layer {
  key: LayerKey;
  kind: LayerKind;
  name: string;
  /** How the sheet is made, in a word. */
  detail: string;
  thickness_mm: number | null;
  /** CSS colour in the light asked for; with several pieces that of the last. */
  swatch: string;
  /** The colours that the chosen pieces have here, each once. */
  swatches: string[];
  /** The word for how it was estimated; null where it was measured. */
  estimate: string | null;
  values: LayerValues;
  /** How many of the chosen pieces have it. */
  in: number;
  /** Outward, inward. */
  can_move: [boolean, boolean];
  /** Thicknesses of the sheets that its glass comes in, mm. */
  sheet_range_mm?: [number, number];
  relative_height: number;
}

export interface Section {
  /** The piece that gives its name. */
  piece: number;
  pieces: number[];
  title: string;
  light_area_mm2: number;
  cut_size_mm: [number, number];
  neighbours: number[];
  makeup: Makeup;
  layers: Layer[];
  /** Null where they differ or there is one plate. */
  gap: 'air' | 'contact' | null;
  plates: number | null;
  most_plates: number;
  swatch: string;
  /** Of the light of the hour, by area where there are several pieces. */
  transmittance_y: number;
  transmittance_range: [number, number];
}

export interface GlassChoice {
  id: string;
  name: string;
  provenance: string;
  swatch: string;
  kind: string;
  transmittance_y: number;
}

export interface GlassFamily {
  family: string;
  glasses: GlassChoice[];
}

/** A change to what pieces are made of; the module turns it into one edit. */
export type Change =
  | { change: 'glass'; plate: number; glass: string }
  | { change: 'thickness'; plate: number; thickness_mm: number }
  | { change: 'sheet'; plate: number; sheet: number }
  | { change: 'flash_left'; plate: number; flash_left: number }
  | { change: 'flash_face'; plate: number; face: Face }
  | { change: 'add_plate'; side: Face; glass: string; thickness_mm: number }
  | { change: 'remove_plate'; plate: number }
  | { change: 'gap'; gap: 'air' | 'contact' }
  | { change: 'add_paint'; kind: PaintKind }
  | { change: 'remove_paint'; paint: LayerKey }
  | ({ change: 'paint'; paint: LayerKey } & PaintChange)
  | { change: 'move'; layer: LayerKey; toward: Face; past?: LayerKey }
  | { change: 'makeup'; makeup: Makeup };

export interface PaintChange {
  kind?: PaintKind;
  density?: number;
  coverage?: number;
  pigment?: Pigment;
  firing?: number;
  face?: Face;
  plate?: number;
}

/** What a change comes to. */
export interface Changed {
  edit: Edit;
  /** The layer as it is named afterwards; null where it is gone. */
  layer: LayerKey | null;
  pieces: number;
}

export interface Illuminance {
  total_lx: number;
  sky_ground_lx: number;
  sun_lx: number;
  room_lx: number;
  uncertainty_lx: number | null;
}

export interface Look {
  lab: [number, number, number];
  /** Encoded sRGB, 0–255. */
  srgb: [number, number, number];
}

export interface Report {
  scene: string;
  utc: string;
  local: string;
  sun: { altitude_deg: number; azimuth_deg: number; incidence_deg: number | null };
  sun_words: string;
  outside: {
    beam_normal_lx: number;
    diffuse_horizontal_lx: number;
    global_horizontal_lx: number;
    vertical_on_glass_lx: number;
  };
  viewing: {
    vertical: Illuminance;
    horizontal: Illuminance;
    share_of_clear: number | null;
    cast: {
      x: number | null;
      y: number | null;
      u_prime: number | null;
      v_prime: number | null;
      cct_k: number | null;
      duv: number | null;
      dominant_nm: number | null;
      excitation_purity: number | null;
      shift_from_clear: number | null;
      uncertainty_uv: number | null;
      words: string;
    };
    looks: { white_cloth: Look | null; pale_stone: Look | null; dark_skin: Look | null; light_skin: Look | null };
    ra: number | null;
  };
  pieces: {
    id: number;
    glass: string;
    light_area_mm2: number;
    luminance_cd_m2: number | null;
    x: number | null;
    y: number | null;
    transmittance_y: number;
  }[];
  warnings: string[];
}

export interface DayInstant {
  /** Of the local civil day. */
  minute: number;
  total_lx: number;
  sky_ground_lx: number;
  sun_lx: number;
  room_lx: number;
  /** White cloth; null where there is no light to see it by. */
  swatch: string | null;
  words: string;
  sun_altitude_deg: number;
  /** Where the sun stands: "south-west, 8° up". */
  sun_words: string;
}

export interface Day {
  date: string;
  sunrise: string | null;
  sunset: string | null;
  polar: 'day' | 'night' | null;
  instants: DayInstant[];
}

export interface YearHour {
  /** 1–12 */
  month: number;
  /** 0–23, of the site's clocks. */
  hour: number;
  total_lx: number;
  swatch: string | null;
  words: string;
}

export interface SunOfDay {
  /** Of the year, from 1. */
  day: number;
  /** On the clock. */
  sunrise_minute: number | null;
  sunset_minute: number | null;
  polar: 'day' | 'night' | null;
}

export interface Year {
  year: number;
  hours: YearHour[];
  sun: SunOfDay[];
}

export type Edit =
  | { edit: 'set_at'; at: string }
  | { edit: 'set_makeup'; window: string; piece: number; makeup: Makeup }
  | {
      edit: 'set_protective_glazing';
      window: string;
      protective_glazing: { thickness_mm: number; dirt: number } | null;
    }
  | { edit: 'together'; edits: Edit[] }
  | { edit: 'set_viewer'; viewer: Viewer }
  | { edit: 'set_name'; name: string }
  | { edit: 'set_site'; site: Site }
  | { edit: 'set_sky'; sky: Sky }
  | { edit: 'set_ground'; ground: Reflectance }
  | { edit: 'set_room'; room: Room }
  | { edit: 'set_places'; places: Place[] }
  | { edit: 'set_note'; note: string };

export type PictureMode = 'appearance' | 'colour_true';
/** Which colours a screen or a file has. */
export type Gamut = 'srgb' | 'display_p3';
