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
  variants: { name: string; note: string }[];
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

export interface Paint {
  kind: string | Record<string, string>;
  density: number;
  [more: string]: unknown;
}

/** What a piece is made of, as the scene file says it; sent back whole when one part of it changes. */
export interface Makeup {
  plates: Plate[];
  paint?: Paint[];
  [more: string]: unknown;
}

export type LayerKind = 'protective' | 'air' | 'glass' | 'flash' | 'paint';

export interface Layer {
  kind: LayerKind;
  name: string;
  detail: string;
  thickness_mm: number | null;
  /** CSS colour in the light of the scene's hour. */
  swatch: string;
  /** The word for how it was estimated; null where it was measured. */
  estimate: string | null;
  plate?: number | null;
  paint?: number | null;
  relative_height: number;
}

export interface Section {
  piece: number;
  title: string;
  light_area_mm2: number;
  cut_size_mm: [number, number];
  neighbours: number[];
  makeup: Makeup;
  layers: Layer[];
  swatch: string;
  transmittance_y: number;
}

export interface GlassChoice {
  id: string;
  name: string;
  provenance: string;
  swatch: string;
  kind: string;
}

export interface GlassFamily {
  family: string;
  glasses: GlassChoice[];
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
  | { edit: 'set_viewer'; viewer: Viewer }
  | { edit: 'set_name'; name: string }
  | { edit: 'set_site'; site: Site }
  | { edit: 'set_sky'; sky: Sky }
  | { edit: 'set_ground'; ground: Reflectance }
  | { edit: 'set_room'; room: Room }
  | { edit: 'set_places'; places: Place[] };

export type PictureMode = 'appearance' | 'colour_true';
