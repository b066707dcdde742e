// Generated from the Rust types of crate/web/src/contract.rs. Do not edit: change the types, then run
// `UPDATE_CONTRACT=1 cargo test -p web` and commit this file.
// The JSON exchanged between the page and the wasm module. Lengths are in mm in the panel plane, y down from the upper
// edge of the sight size, and in m in the room; angles in degrees.

// Errors

/** One fault: its place, what was expected there, what was found. */
export interface Fault {
  /**
   * Path in the document, such as `windows[0].pieces[14].makeup.plates[0].thickness_mm`; empty for the document itself.
   */
  path: string;
  /** What was expected and, where it helps, what to do. */
  expected: string;
  /** What was found there. */
  found: string;
  /** The document is in a newer version of the format: this program cannot read it, but it is not damaged. */
  newer?: boolean;
}

// The scene at a glance

/** Names, sizes and places of what is shown, and the variants. */
export interface SceneOverview {
  /** The scene's name. */
  name: string;
  /** The scene's note; empty if it has none. */
  note: string;
  /** The scene's date and time, civil time at the site: `YYYY-MM-DDTHH:MM`, with seconds only if there are any. */
  at: string;
  /** The same instant in UTC; null if the time zone does not determine it. */
  utc: string | null;
  /** IANA time zone of the site. */
  time_zone: string;
  /** A note if the clocks change at this hour. */
  local_note: string | null;
  /** In the scene's order. */
  windows: WindowOverview[];
  /** Named places to view from. */
  places: ViewingPlace[];
  /** The viewer. */
  viewer: Viewer;
  /** The attachments of the scene, by name. */
  attachments: AttachedFile[];
  /** The variants of the scene, in its order. */
  variants: VariantName[];
  /** Name of the variant shown; null for the scene as drawn. */
  shown: string | null;
  /** What the last action could not keep, in sentences: pieces that are gone or new, edits that variants lost. */
  notices: string[];
  /** The sky in a few words. */
  sky: string;
  /** What is doubtful about drawing and site, in sentences. */
  notes: string[];
}

/** A window at a glance. */
export interface WindowOverview {
  /** Its name in the scene. */
  id: string;
  /** Width of the sight size. */
  width_mm: number;
  /** Height of the sight size. */
  height_mm: number;
}

/** A named place to view from. */
export interface ViewingPlace {
  /** Its name, unique. */
  name: string;
  /** Distance from the plane of the first window's glass into the room: the depth of its inner reveal included. */
  distance_m: number;
  /** Distance to the right of the first window's middle, as seen facing it; negative to the left. */
  right_m: number;
  /** Height of the eye above the floor. */
  eye_height_m: number;
  /** The plane on which light is wanted there; if not given, a person's eye. */
  working_plane?: WorkingPlane;
}

/** The horizontal plane on which light is wanted at a viewing position, facing up. */
export interface WorkingPlane {
  /** What it is. */
  kind: WorkingPlaneKind;
  /** Its height above the floor of the room. */
  height_m: number;
}

/** What the light falls on. */
export type WorkingPlaneKind =
  /** A desk or table at which somebody works. */
  | 'desk'
  /** An altar, or a table at which people stand. */
  | 'altar'
  /** The floor, or a step or platform on it. */
  | 'floor';

/** How light spreads in the viewer's eye (CIE 135/1-1999): more with age, and more in light eyes. */
export interface Viewer {
  /** Age. */
  age_years: number;
  /** Pigmentation of the eye: 0 very dark, 0.5 brown, 1 blue, 1.2 very light. */
  pigmentation: number;
}

/** An attachment in the list of them. */
export interface AttachedFile {
  /** The hash of its content: 64 hexadecimal digits. */
  hash: string;
  /** Its file name. */
  name: string;
  /** What it is to the scene. */
  kind: AttachmentKind;
  /** The media type of its content. */
  media_type: string;
  /** Length of its content, bytes. */
  bytes: number;
  /** A few words on it; empty where there are none. */
  note: string;
}

/** What an attachment is to the scene. */
export type AttachmentKind =
  /** A spectrum measured on a glass or in the room. */
  | 'measured_spectrum'
  /** Thickness over the face of a piece or a sheet. */
  | 'thickness_map'
  /** A photograph of the window, its wall or its surroundings. */
  | 'photograph';

/** A variant in the list of variants. */
export interface VariantName {
  /** Its name. */
  name: string;
  /** Its note; empty if it has none. */
  note: string;
  /** The number of differences from the scene as drawn. */
  differences: number;
}

/**
 * The pieces of a window and their shapes, as SVG path data in mm from the upper left corner of its sight size, y down.
 */
export interface WindowShapes {
  /** The daylight opening. */
  opening: string;
  /** Row by row from the top left. */
  pieces: PieceShape[];
}

/** A piece and its shape. */
export interface PieceShape {
  /** Its number in the window. */
  id: number;
  /** Name of the glass of its innermost plate. */
  glass: string;
  /** SVG path data of the part visible between the leads. */
  path: string;
  /** A point well inside it: distances from the left and from the top. */
  centre_mm: [number, number];
}

// Results of actions

/** The result of an action, for everything that depends on the document. */
export interface Made {
  /** The edit that updates another copy of what is shown. */
  edit: Edit;
  /** What it touched. */
  changes: ChangeSet;
  /** The action for the journal. */
  action: string;
  /** The pieces that changed. */
  windows: ChangedWindow[];
}

/** One user action. It sets one part of the scene to a new value; its inverse sets the old value. */
export type Edit =
  /** The scene's name. */
  | {
      edit: 'set_name';
      /** The new name. */
      name: string;
    }
  /** The scene's note. */
  | {
      edit: 'set_note';
      /** The new text. */
      note: string;
    }
  /** Where the building stands. */
  | {
      edit: 'set_site';
      /** The new site. */
      site: Site;
    }
  /** The scene's date and time. */
  | {
      edit: 'set_at';
      /** Civil time at the site, `YYYY-MM-DDTHH:MM`. */
      at: string;
    }
  /** The sky. */
  | {
      edit: 'set_sky';
      /** The new sky. */
      sky: Sky;
    }
  /** The ground. */
  | {
      edit: 'set_ground';
      /** What it reflects. */
      ground: Reflectance;
    }
  /** The horizon. */
  | {
      edit: 'set_horizon';
      /** The new horizon. */
      horizon: Horizon;
    }
  /** The room. */
  | {
      edit: 'set_room';
      /** The new room. */
      room: Room;
    }
  /** The position of a window in its wall. */
  | {
      edit: 'move_window';
      /** Id of the window. */
      window: string;
      /** From the wall's left inside corner to the middle of the sight size. */
      centre_x_m: number;
      /** From the floor to the lower edge of the sight size. */
      sill_height_m: number;
    }
  /** The pane in front of a window. */
  | {
      edit: 'set_protective_glazing';
      /** Id of the window. */
      window: string;
      /** The new pane; `null` removes it. */
      protective_glazing: ProtectiveGlazing | null;
    }
  /** Dirt and corrosion on all the glass of a window; pieces that state their own keep it. */
  | {
      edit: 'set_deposits';
      /** Id of the window. */
      window: string;
      /** What lies on its faces now. */
      deposits: Deposits;
    }
  /** The wall around a window. */
  | {
      edit: 'set_wall';
      /** Id of the window. */
      window: string;
      /** The new wall; `null` leaves it without depth. */
      wall: Wall | null;
    }
  /**
   * One line of a drawing: adds, changes or, with `null`, removes it.
   *
   * `Resolved::apply` adds the edits that the pieces beside the line need.
   */
  | {
      edit: 'set_line';
      /** Id of the window. */
      window: string;
      /** Number of the line. */
      line: number;
      /** Its path and width now; `null` removes it. */
      to: Line | null;
      /** Index of an added line in the list of cutlines; at the end if not given. */
      at?: number;
    }
  /** The sight size of a window and the lead around it; its pieces follow as for `Edit::SetLine`. */
  | {
      edit: 'set_sight_size';
      /** Id of the window. */
      window: string;
      /** The closed path and the face width of the lead. */
      sight_size: Line;
    }
  /** The saddle bars of a window. */
  | {
      edit: 'set_bars';
      /** Id of the window. */
      window: string;
      /** All of them. */
      bars: Bar[];
    }
  /** The entry of one piece: adds, changes or, with `null`, removes it. */
  | {
      edit: 'set_piece';
      /** Id of the window. */
      window: string;
      /** Number of the piece. */
      piece: number;
      /** Where it lies and what it is made of; `null` removes it. */
      to: PieceEntry | null;
      /** Index of an added entry in the list of pieces; at the end if not given. */
      at?: number;
    }
  /** The point that ties a piece's entry to the drawing. */
  | {
      edit: 'move_piece';
      /** Id of the window. */
      window: string;
      /** Number of the piece. */
      piece: number;
      /** A point well inside it, panel mm. */
      at_mm: [number, number];
    }
  /** An entire drawing and its glazing: they change together, so that no piece is ever without glass. */
  | {
      edit: 'set_drawing';
      /** Id of the window. */
      window: string;
      /** The new drawing. */
      drawing: Drawing;
      /** One entry for every piece of it. */
      pieces: Piece[];
    }
  /** Glass and paint of one piece. */
  | {
      edit: 'set_makeup';
      /** Id of the window. */
      window: string;
      /** Number of the piece. */
      piece: number;
      /** What it is made of now. */
      makeup: Makeup;
    }
  /** A glass of the scene's own: adds, changes or, with `null`, removes it. */
  | {
      edit: 'set_glass';
      /** Its id. */
      id: string;
      /** The glass. */
      glass: OwnGlass | null;
    }
  /** An attachment: added, described anew, or with `null` removed. It belongs to the scene and to no variant. */
  | {
      edit: 'set_attachment';
      /** The hash of its content. */
      hash: ContentHash;
      /** What is said of it. */
      attachment: Attachment | null;
    }
  /** The named places. */
  | {
      edit: 'set_places';
      /** All of them. */
      places: ViewingPlace[];
    }
  /** Who looks. */
  | {
      edit: 'set_viewer';
      /** The new viewer. */
      viewer: Viewer;
    }
  /** The variants. */
  | {
      edit: 'set_variants';
      /** All of them. */
      variants: Variant[];
    }
  /** Several edits as one action: all are applied, or none. */
  | {
      edit: 'together';
      /** In order. */
      edits: Edit[];
    };

/** Where on Earth. */
export interface Site {
  /** Degrees north of the equator, south negative. */
  latitude_deg: number;
  /** Degrees east of Greenwich, west negative. */
  longitude_deg: number;
  /** Height above the sea, metres. */
  elevation_m: number;
  /** IANA time zone, such as `Europe/London`. */
  time_zone: string;
}

/** The sky over the site. */
export type Sky =
  /** Cloudless, with a spectrum for every direction. */
  | {
      kind: 'clear';
      /** The composition of the air; typical values where not given. */
      air: Air;
    }
  /** One of the fifteen CIE general skies (ISO 15469). */
  | {
      kind: 'standard';
      /** Type 1–15. */
      cie_type: number;
      /** Its spectrum, the same in every direction. */
      spectrum: SkySpectrum;
      /** Horizontal illuminance from the whole sky, lx; modelled from the sun's height where not given. */
      diffuse_horizontal_lx?: number;
    }
  /** Cloud over part or all of the sky. */
  | {
      kind: 'overcast';
      /** Share of the sky covered, 0–1. */
      cloud: number;
      /** The air of the clear part; typical values where not given. */
      air: Air;
    };

/** The composition of the air. Every field that is not given takes a typical value. */
export interface Air {
  /** Aerosol optical depth at 500 nm. */
  aerosol_depth_500nm?: number;
  /** Ångström exponent of the aerosol. */
  angstrom_exponent?: number;
  /** Ozone, atm-cm. */
  ozone_atm_cm?: number;
  /** Precipitable water, cm. */
  water_cm?: number;
}

/** Spectrum of a standard sky. */
export type SkySpectrum =
  /** CIE daylight of this colour temperature, kelvin. */
  | {
      cct_k: number;
    }
  /** The clear sky's diffuse light at the same sun height. */
  | 'clear_diffuse';

/** Diffuse reflectance of a surface. */
export type Reflectance =
  /** The same share at every wavelength, 0–1. */
  | {
      grey: number;
    }
  /** A named material from `materials`. */
  | {
      material: string;
    }
  /** 81 samples, 380–780 nm by 5 nm, each 0–1. */
  | {
      samples: number[];
    };

/** What stands on the horizon as the window sees it. */
export interface Horizon {
  /** Buildings and walls near the window, before the skyline. */
  blocks?: Block[];
  /** Height of the room's floor above the ground outside, m; 0 if not given. */
  floor_above_ground_m?: number;
  /**
   * The building that the window belongs to; if not given, it neither hides sky from the ground in front nor throws a
   * shadow.
   */
  own_building?: OwnBuilding;
  /** What the skyline reflects; a grey of 0.25 if not given. */
  reflectance?: Reflectance;
  /** The skyline of buildings and land, joined by straight lines all the way round; if empty, the horizon is clear. */
  skyline?: SkylinePoint[];
  /** Trees, which let light through by season. */
  trees?: Trees[];
}

/** A building or a wall near the window: a box on the ground whose front is parallel to the window wall. */
export interface Block {
  /** Distance of its front from the window wall, m. */
  distance_m: number;
  /**
   * Where its front begins: m to the right of the window's middle as seen from inside, negative to the left. With
   * several windows, of the middle of the area that they span.
   */
  from_m: number;
  /** Where its front ends, further to the right. */
  to_m: number;
  /** Height above the ground, m. */
  height_m: number;
  /** How far it goes back, m. */
  depth_m: number;
  /** What its walls reflect; a grey of 0.25 if not given. Roofs are black. */
  reflectance?: Reflectance;
}

/** The building that the window belongs to: an upright wall that goes on to both sides. */
export interface OwnBuilding {
  /** Height of its wall above the ground outside, m; if not given, one storey is assumed: the room and 1 m above it. */
  height_m?: number;
  /** What its wall reflects; a grey of 0.25 if not given. */
  reflectance?: Reflectance;
}

/** A point of the skyline. */
export interface SkylinePoint {
  /** Compass bearing, clockwise from true north. */
  bearing_deg: number;
  /** Height above the horizontal as seen from the window. */
  altitude_deg: number;
}

/** A row of trees. */
export interface Trees {
  /** Bearing where the row starts, clockwise from true north. */
  from_bearing_deg: number;
  /** Bearing where it ends, going clockwise. */
  to_bearing_deg: number;
  /** Height of the tops above the horizontal. */
  altitude_deg: number;
  /** Share of light that passes in full leaf, 0–1. */
  transmittance_in_leaf: number;
  /** Share of light that passes through bare branches, 0–1. */
  transmittance_bare: number;
  /** What they reflect; the material `leaves` if not given. */
  reflectance?: Reflectance;
}

/**
 * The room: a box. Seen from inside, facing the window wall: width to the right, height up, depth away from the window.
 */
export interface Room {
  /** Width along the window wall. */
  width_m: number;
  /** Floor to ceiling. */
  height_m: number;
  /** From the window wall to the back wall. */
  depth_m: number;
  /** Compass bearing, clockwise from true north, that the outside of the window wall faces. */
  facing_deg: number;
  /** What the six surfaces reflect. */
  surfaces: Surfaces;
}

/** The six surfaces of the room, left and right as seen facing the window. */
export interface Surfaces {
  /** The wall the window is in. */
  window_wall: Reflectance;
  /** The wall opposite. */
  back_wall: Reflectance;
  /** The left wall, as seen facing the window. */
  left_wall: Reflectance;
  /** The right wall, as seen facing the window. */
  right_wall: Reflectance;
  /** The floor. */
  floor: Reflectance;
  /** The ceiling. */
  ceiling: Reflectance;
}

/** A clear pane outside the leaded one. */
export interface ProtectiveGlazing {
  /** Its thickness. */
  thickness_mm: number;
  /** Share of light lost to dirt, 0–1; vertical panes lose 0.04–0.08 in half a year. */
  dirt: number;
}

/** What lies on the two outermost faces of the glass of a window or of one piece. */
export interface Deposits {
  /** On the room face. Of a window, clean if not given; of a piece, as in its window. */
  inside?: Deposit;
  /** On the weather face. Of a window, clean if not given; of a piece, as in its window. */
  outside?: Deposit;
}

/** A thin layer of dirt or corrosion over a face of glass and its paint. */
export interface Deposit {
  /** Share of light lost, 0–1, the same at every wavelength; 0 is a clean face. */
  loss: number;
  /** What it is. */
  kind?: DepositKind;
  /** The lobe of the light that it scatters; usual for its kind if nothing is given. */
  lobe?: Lobe;
  /** Share of the passing light that it scatters, 0–1; if not given, as much as dirt of that loss usually does. */
  scatters?: number;
  /** Where the numbers come from; an assumption if empty. */
  source?: string;
}

/** Kinds of deposit. */
export type DepositKind =
  /** Dust and soot, which cleaning removes. */
  | 'dirt'
  /** A crust or pits of the weathered glass itself. */
  | 'corrosion';

/**
 * The lobe in which a scatterer keeps light near the direction that it had. What is not given is as usual for its kind.
 */
export interface Lobe {
  /** Angle from its middle at which the lobe has half its radiance, for light along the normal. */
  half_width_deg?: number;
  /** Share of the scattered light that stays in the lobe, 0–1; the rest is spread evenly over all directions. */
  share?: number;
  /** Where the numbers come from; an assumption if empty. */
  source?: string;
}

/**
 * The wall around a window. The sight size is the opening at the glass, and the sides of both reveals follow its
 * outline. Without any of it, the glass lies in the inner face of a wall without depth.
 */
export interface Wall {
  /** Bars or mesh before the outer face of the wall. */
  guards?: Guard[];
  /** From the glass to the inner face of the wall, which is the room's window wall. */
  inner?: Reveal;
  /**
   * How far the leaves of the window's leads stand out from the glass on either side. If given, leads and saddle bars
   * have depth and take more of the light the more it comes from the side; otherwise they are flat.
   */
  leaf_mm?: number;
  /** From the glass to the outer face of the wall. */
  outer?: Reveal;
  /** A slab that stands out from the wall over the window. */
  overhang?: Overhang;
}

/** Round bars or wires before the outer face of the wall, evenly spaced. They are black. */
export type Guard =
  /** Upright bars. */
  | {
      kind: 'upright_bars';
      /** Their diameter. */
      diameter_mm: number;
      /** From the middle of one to that of the next. */
      pitch_mm: number;
    }
  /** Level bars. */
  | {
      kind: 'level_bars';
      /** Their diameter. */
      diameter_mm: number;
      /** From the middle of one to that of the next. */
      pitch_mm: number;
    }
  /** A square mesh of upright and level wires. */
  | {
      kind: 'mesh';
      /** Diameter of the wires. */
      wire_mm: number;
      /** From the middle of one wire to that of the next. */
      pitch_mm: number;
    };

/** One reveal: its depth, how its sides lean, and what they reflect. */
export interface Reveal {
  /** From the glass to the face of the wall, m. */
  depth_m: number;
  /** What its sides reflect; a grey of 0.3 outside and of 0.5 inside if not given. */
  reflectance?: Reflectance;
  /** What its sill reflects; as its sides if not given. */
  sill_reflectance?: Reflectance;
  /** How far its sides lean away from the normal of the wall; square to the wall if not given. */
  splay_deg?: Splay;
}

/** How far the sides of a reveal open with the distance from the glass, degrees from the normal of the wall. */
export interface Splay {
  /** Both jambs. */
  jamb: number;
  /** The head. */
  head: number;
  /** The sill, downward. */
  sill: number;
}

/** A thin level slab centred over the window, such as a canopy or a balcony. */
export interface Overhang {
  /** Out from the outer face of the wall, m. */
  depth_m: number;
  /** From the top of the opening in the outer face of the wall up to the underside, m. */
  above_m: number;
  /** Along the wall, m. */
  width_m: number;
  /** What its underside reflects; a grey of 0.3 if not given. */
  reflectance?: Reflectance;
}

/** A drawn line and the width of the lead along it. */
export interface Line {
  /** SVG path data, mm. */
  path: string;
  /** Full face width of the lead. */
  width_mm: number;
}

/** A saddle bar. */
export interface Bar {
  /** SVG path data of its axis, mm. */
  path: string;
  /** Its diameter. */
  width_mm: number;
  /** The side of the glass it stands on. */
  side?: Face;
}

/** A side of a pane. */
export type Face =
  /** Toward the weather. */
  | 'outside'
  /** Toward the room. */
  | 'inside';

/** Where a piece lies and what it is made of. */
export interface PieceEntry {
  /** A point well inside it, panel mm. */
  at_mm: [number, number];
  /** Glass and paint. */
  makeup: Makeup;
}

/** What a piece is made of, from outside to inside. */
export interface Makeup {
  /** One to three plates, the outermost first. */
  plates: Plate[];
  /** Dirt and corrosion on this piece, where it differs from the window's. */
  deposits?: Deposits;
  /** What lies between plates. */
  gap?: Gap;
  /** Fired paint, in any order. */
  paint?: Paint[];
}

/** One pane of a piece. */
export interface Plate {
  /** Id of a glass of the library or of the scene's own. */
  glass: string;
  /** Thickness of the sheet where this piece was cut. */
  thickness_mm: number;
  /** The sheet it was cut from: pieces cut from one sheet of a glass share its drift and streaks. */
  sheet: number;
  /** The side the flash is on. */
  flash_face?: Face;
  /** Share of the flash left by etching or abrasion, 0–1; 1 is untouched. It has no effect on unflashed glass. */
  flash_left?: number;
  /**
   * Standard deviation of that thickness, mm, such as that of the tool it was measured with or of a map of the sheet.
   * If not given, that of a typed thickness, or of its sheets' range where it is their usual one.
   */
  thickness_sd_mm?: number;
}

/** What lies between the plates of a plated piece. */
export type Gap =
  /** A thin gap of air, reflecting between the plates. */
  | 'air'
  /** Optical contact: cemented or fused. */
  | 'contact';

/** One fired layer. */
export interface Paint {
  /** Its kind. */
  kind: PaintKind;
  /** The side it is fired on. */
  face: Face;
  /**
   * Optical density, base 10, where there is paint: at 560 nm for trace and matting, at its strongest wavelength for
   * enamel, at 450 nm for silver stain. For fading matting, the density of even matting that lets through as much
   * light.
   */
  density: number;
  /** The firing it went through; 1 is the first. */
  firing: number;
  /**
   * Share of the piece covered, 0–1; all of it if not given. With strokes it is computed from them and must not be
   * given.
   */
  coverage?: number;
  /**
   * Approximate length over which matting becomes lighter from the lead toward the middle of the piece; 0 is even. Only
   * for matting.
   */
  fade_mm?: number;
  /** The lobe of the light that it scatters; usual for its kind if nothing is given. */
  lobe?: Lobe;
  /** Its pigment, for trace and matting; enamel and stain bring their own colour. */
  pigment?: Pigment;
  /** The plate that carries it; 0 is the outermost. */
  plate?: number;
  /**
   * Share of the passing light that it scatters, 0–1, at the usual density of its kind; more where it is denser. Usual
   * for its kind if not given.
   */
  scatters?: number;
  /** Unevenness left by the brush, 0 smooth to 1 coarsely stippled. Only for matting. */
  stipple?: number;
  /** The trace lines as drawn, clipped to the visible part of the piece. Only for trace. */
  strokes?: Stroke[];
}

/** Kinds of fired paint. */
export type PaintKind =
  /** Near-opaque line. */
  | 'trace'
  /** Thin shading. */
  | 'matting'
  /** A transparent colour fired on. */
  | {
      enamel: EnamelColour;
    }
  /** Silver stain, on the outside face. */
  | {
      stain: StainTone;
    };

/** Colours of enamel. */
export type EnamelColour = 'blue' | 'turquoise' | 'green' | 'purple' | 'rose' | 'yellow';

/** Tones of silver stain, by the size of the silver particles. */
export type StainTone = 'lemon' | 'gold' | 'amber';

/** Pigments of trace and matting paint. */
export type Pigment =
  /** Neutral black. */
  | 'black'
  /** Warm brown. */
  | 'brown'
  /** Reddish. */
  | 'sanguine';

/** A brush line. */
export interface Stroke {
  /** SVG path data, mm in the panel plane. An open line tapers to a point at both ends. */
  path: string;
  /** Its width. */
  width_mm: number;
}

/**
 * The line drawing in the panel plane as seen from inside: mm, x right, y up, origin at the lower-left corner of the
 * bounding box of the sight size. Paths are SVG path data.
 */
export interface Drawing {
  /**
   * The sight size: the daylight opening, one closed path, and the face width of the lead around it (half of which
   * shows inside the opening).
   */
  sight_size: Line;
  /** Saddle bars. */
  bars?: Bar[];
  /** The lead lines, along the heart of the lead. */
  cutlines?: Cutline[];
}

/** A lead line with the number by which edits refer to it. */
export interface Cutline {
  /** Its number, unique in the drawing. It never changes. */
  id: number;
  /** SVG path data of the lead's heart, mm. */
  path: string;
  /** Full face width of the lead. */
  width_mm: number;
}

/** One piece of the window. */
export interface Piece {
  /** Its number on the cartoon and the rack, unique in the window. */
  id: number;
  /** A point well inside it, panel mm: this ties the entry to the drawing. */
  at_mm: [number, number];
  /** Glass and paint. */
  makeup: Makeup;
}

/** A glass of the scene's own. */
export interface OwnGlass {
  /** What the studio calls it. */
  name: string;
  /** The colour family it is sorted under. */
  family: Family;
  /** Refractive index. */
  index: number;
  /** Its transmittance; of a flashed glass, that of the base. */
  colour: GlassColour;
  /** Share of what passes that is scattered, 0–1. */
  diffuse_share: number;
  /** Where the spectrum comes from. */
  provenance: Provenance;
  /** Its flash: a thin coloured layer on the base. */
  flash?: OwnFlash;
  /** How its sheets are made; if not given, streaky with a second colour, opalescent where it scatters, else clear. */
  kind?: SheetKind;
  /** The lobe of the light that it scatters; usual for its kind if nothing is given. */
  lobe?: Lobe;
  /** Thickness of its sheets; 3 mm ± 1 mm if not given. */
  sheets?: SheetThickness;
  /** Its second colour, stirred into the first in streaks. */
  streak?: OwnStreak;
  /** Relative standard deviation of its absorbance, 0–1; depends on the provenance if not given. */
  uncertainty?: number;
}

/** Colour families of the rack. */
export type Family =
  | 'white'
  | 'grey'
  | 'yellow'
  | 'orange'
  | 'brown'
  | 'red'
  | 'pink'
  | 'purple'
  | 'violet'
  | 'blue'
  | 'blue-green'
  | 'green';

/** How a glass of the scene's own gets its spectrum. */
export type GlassColour =
  /** Internal transmittance at a thickness: without the reflections at the faces. */
  | {
      internal: InternalTransmittance;
    }
  /** Total transmittance of a sheet in air, as an instrument reads it: with the reflections at both faces. */
  | {
      total: TotalTransmittance;
    }
  /** Colouring ions and colloids with their amounts: weight per cent of oxide, or ppm by volume for colloids. */
  | {
      recipe: Record<string, number>;
    };

/** Internal transmittance at a thickness. */
export interface InternalTransmittance {
  /** The thickness that the samples hold for. */
  thickness_mm: number;
  /** 81 samples, 380–780 nm by 5 nm, each above 0 and up to 1. */
  samples: number[];
}

/**
 * Total transmittance of a sheet in air at normal incidence. The reflections at its faces are those of the glass's
 * index.
 */
export interface TotalTransmittance {
  /** The thickness of the sheet. */
  thickness_mm: number;
  /**
   * 81 samples, 380–780 nm by 5 nm, each above 0 and at most what the two faces let through: 0.918 for an index of
   * 1.52.
   */
  samples: number[];
}

/** Where a spectrum comes from. */
export type Provenance =
  /** Measured with an instrument. */
  | 'measured'
  /** Estimated from a photograph on a light table. */
  | 'photographed'
  /** Estimated from a colour under a stated light. */
  | 'estimated_from_colour'
  /** Computed from colouring ions and colloids. */
  | 'recipe';

/** A thin coloured layer on one face of a glass. */
export interface OwnFlash {
  /** Its thickness. */
  thickness_mm: number;
  /**
   * Its transmittance: `internal` and `recipe` are those of the layer alone, `total` is that of a whole sheet, base and
   * flash together, at the thickness of that sheet.
   */
  colour: GlassColour;
}

/** How sheets of a glass are made. */
export type SheetKind =
  /** Even and transparent. */
  | 'clear'
  /** Full of small bubbles. */
  | 'seedy'
  /** Milky in the body. */
  | 'opalescent'
  /** Textured by a roller, hammered or cathedral glass among others. */
  | 'rolled'
  /** Roughened by acid or blasting. */
  | 'matted';

/** Thickness of a glass's sheets. */
export interface SheetThickness {
  /** Usual thickness. */
  thickness_mm: number;
  /** How far sheets are to be expected above and below it. */
  plus_minus_mm: number;
}

/** The second colour of a streaky glass. */
export interface OwnStreak {
  /** Its transmittance, as for the first colour. */
  colour: GlassColour;
  /** Mean share of the second colour over a sheet, 0–1. */
  mix_mean: number;
  /** Standard deviation of that share over a sheet. */
  mix_sd: number;
}

/** The SHA-256 of an attachment's content, 64 lower-case hexadecimal digits. */
export type ContentHash = string;

/** A file that belongs to the scene. Its content lives outside it. */
export interface Attachment {
  /** Its file name, without folders. */
  name: string;
  /** What it is to the scene. */
  kind: AttachmentKind;
  /** The media type of its content, such as `image/jpeg`. */
  media_type: string;
  /** Length of its content, bytes. */
  bytes: number;
  /** A few words on it; free text. */
  note?: string;
}

/** A named set of differences from the scene. */
export interface Variant {
  /** Its name, unique. */
  name: string;
  /** The edits that turn the scene into it, in order. */
  edits: Edit[];
  /** A note; free text. */
  note?: string;
}

/**
 * What an edit touches. Figures, picture, page and the labels of undo read only this.
 *
 * In JSON, untouched parts are omitted.
 */
export interface ChangeSet {
  /** The scene's own hour. */
  at?: AtChange;
  /** Attachments, by the hash of their content. They touch neither light nor picture. */
  attachments?: Record<string, AttachmentChange>;
  /** Glasses of the scene's own: name by id. */
  glasses?: Record<string, string>;
  /** What the ground reflects. */
  ground?: boolean;
  /** Skyline and trees. */
  horizon?: boolean;
  /** The scene's name. */
  name?: boolean;
  /** The scene's note. */
  note?: boolean;
  /** The named places to view from. */
  places?: boolean;
  /** The room. */
  room?: RoomChange;
  /** Where the building stands. */
  site?: SiteChange;
  /** The sky. */
  sky?: boolean;
  /** The list of variants. */
  variants?: boolean;
  /** The viewer's eye. */
  viewer?: boolean;
  /** Windows, by id. */
  windows?: Record<string, WindowChange>;
  /** What viewing positions are used for: kind and height of their working planes, and nothing else of them. */
  working_planes?: boolean;
}

/** How far the scene's own hour moved. */
export type AtChange =
  /** Within its day. */
  | 'hour'
  /** To another day. */
  | 'date';

/** What happened to an attachment. */
export interface AttachmentChange {
  /** Its file name. */
  name: string;
  /** What it is to the scene. */
  kind: AttachmentKind;
  /** Whether it came, went or is described anew. */
  change: Attaching;
}

/** What may happen to an attachment. */
export type Attaching =
  /** It was added. */
  | 'attached'
  /** It was removed. */
  | 'removed'
  /** Its name, kind or note changed. */
  | 'described';

/** What changed about the room. */
export interface RoomChange {
  /** Width, height or depth. */
  size: boolean;
  /** The bearing that the window wall faces. */
  facing: boolean;
  /** What its surfaces reflect. */
  surfaces: boolean;
}

/** What changed about the site. */
export interface SiteChange {
  /** Latitude or longitude. */
  position: boolean;
  /** Height above the sea. */
  elevation: boolean;
  /** Time zone. */
  time_zone: boolean;
}

/** What changed about a window. */
export interface WindowChange {
  /** The saddle bars. */
  bars?: boolean;
  /** Dirt and corrosion on all its glass. */
  deposits?: boolean;
  /** The entire drawing at once. */
  drawing?: boolean;
  /** These pieces are new, removed, or tied to the drawing at another point. */
  entries?: number[];
  /** Path or width of these lines. */
  lines?: number[];
  /** What these pieces are made of. */
  makeups?: Record<string, MakeupChange>;
  /** Its position in the wall. */
  placement?: boolean;
  /** The pane in front of it. */
  protective_glazing?: boolean;
  /** The sight size or the lead around it. */
  sight_size?: boolean;
  /** The wall around it. */
  wall?: boolean;
}

/** What changed about a make-up. */
export interface MakeupChange {
  /** The number of plates or what lies between them. */
  plating: boolean;
  /** The glass of a plate. */
  glass: boolean;
  /** The thickness of a plate. */
  thickness: boolean;
  /** How much flash etching left, or the side that the flash is on. */
  flash: boolean;
  /** The sheet a plate was cut from. */
  sheet: boolean;
  /** Paint. */
  paint: boolean;
  /** Dirt and corrosion on the piece. */
  deposits?: boolean;
}

/** A window whose pieces changed. */
export interface ChangedWindow {
  /** Which window, counted from 0. */
  index: number;
  /** The daylight opening, as in `super::WindowShapes`. */
  opening: string;
  /** Its number of pieces now. */
  count: number;
  /** Runs of unchanged pieces: where the run begins now, where it began before, how many pieces it has. */
  kept: [number, number, number][];
  /** The changed pieces. */
  pieces: ChangedPiece[];
}

/** A piece that is new, or whose shape or glass has changed. */
export interface ChangedPiece {
  /** Its index in the list of pieces now. */
  index: number;
  /** The piece now. */
  piece: PieceShape;
}

// Surroundings of the windows

/** The scene's surroundings of the windows. */
export interface Surroundings {
  /** Where the building stands. */
  site: Site;
  /** The sky. */
  sky: Sky;
  /** The kind of weather of this sky. */
  weather: Weather;
  /** What the ground in front of the window reflects. */
  ground: Reflectance;
  /** Whether the ground is fresh snow. */
  snow_on_ground: boolean;
  /** What the ground reflects without snow on it. */
  ground_without_snow: Reflectance;
  /** What stands between the window and the sky. */
  horizon: Horizon;
  /** Height of the own building's wall where the scene states none: one storey. */
  assumed_own_height_m: number;
  /** A block to begin with. */
  block_if_added: Block;
  /** The room behind the window. */
  room: Room;
  /** The positions of the windows. */
  windows: WindowPlace[];
  /** What is doubtful about the site, in sentences. */
  cautions: string[];
}

/** A kind of weather, for choosing a sky. */
export type Weather =
  /** No cloud, clean air. */
  | 'clear'
  /** No cloud, hazy air. */
  | 'hazy'
  /** Cloud over part of the sky. */
  | 'broken'
  /** Cloud over the whole sky. */
  | 'overcast'
  /** A CIE general sky. */
  | 'standard';

/** The position of a window in the window wall. */
export interface WindowPlace {
  /** Its name in the scene. */
  id: string;
  /** From the wall's left inside corner to the middle of the sight size. */
  centre_x_m: number;
  /** From the floor to the lower edge of the sight size. */
  sill_height_m: number;
  /** Width of the sight size. */
  width_m: number;
  /** Height of the sight size. */
  height_m: number;
  /** The wall around it, empty if it has no depth. */
  wall: Wall;
  /** Its opening in the outer face of the wall. */
  outer_face: OpeningBounds;
  /** Its opening in the inner face of the wall. */
  inner_face: OpeningBounds;
  /** An overhang to begin with. */
  overhang_if_added: Overhang;
}

/** How far an opening reaches in a face of the wall. */
export interface OpeningBounds {
  /** Left edge, from the wall's left inside corner. */
  left_m: number;
  /** Right edge, from the same corner. */
  right_m: number;
  /** Lowest point, from the floor. */
  bottom_m: number;
  /** Highest point, from the floor. */
  top_m: number;
}

/** The choices for the surroundings. */
export interface Choices {
  /** Kinds of weather. */
  weathers: WeatherChoice[];
  /** The fifteen CIE general skies (ISO 15469). */
  standard_skies: StandardSky[];
  /** Named surfaces. */
  surfaces: SurfaceChoice[];
  /** What the ground reflects under fresh snow. */
  snow: Reflectance;
  /** What a wall outside reflects if nothing is given. */
  usual_wall: Reflectance;
  /** What the wall around a window begins with. */
  usual_window_wall: UsualWindowWall;
  /** The working planes that a position may have, each at its usual height. */
  working_planes: WorkingPlane[];
  /** Names of the IANA time zones. */
  zones: string[];
  /** The air assumed where a sky gives none. */
  usual_air: UsualAir;
}

/** A kind of weather. */
export interface WeatherChoice {
  /** The kind. */
  id: Weather;
  /** Its name on the page. */
  name: string;
  /** Its starting sky. */
  sky: Sky;
}

/** A CIE general sky. */
export interface StandardSky {
  /** 1–15. */
  cie_type: number;
  /** Its appearance, in a few words. */
  words: string;
  /** Whether the sun is visible. */
  sun: boolean;
}

/** A named surface. */
export interface SurfaceChoice {
  /** Its name, as a material of `Reflectance`. */
  name: string;
  /** Share of daylight (D65) that it reflects, 0–1. */
  share: number;
  /** Where it occurs. */
  of: SurfaceUse;
}

/** Where a surface occurs. */
export type SurfaceUse =
  /** Outside, in front of the window. */
  | 'ground'
  /** In rooms. */
  | 'room';

/** What the wall around a window begins with, and what its surfaces reflect if nothing is given. */
export interface UsualWindowWall {
  /** Outer or inner. */
  reveal: Reveal;
  /** Sides and sill of an outer reveal, underside of an overhang. */
  outer_reflectance: Reflectance;
  /** Sides and sill of an inner reveal. */
  inner_reflectance: Reflectance;
  /** One guard of each kind. */
  guards: [Guard, Guard, Guard];
  /** How far the leaves of leads stand out from the glass, mm. */
  leaf_mm: number;
}

/** The air assumed where a sky gives none. */
export interface UsualAir {
  /** Aerosol optical depth at 500 nm. */
  aerosol_depth_500nm: number;
  /** Ångström exponent of the aerosol. */
  angstrom_exponent: number;
  /** Precipitable water, cm. */
  water_cm: number;
  /** Ozone, atm-cm. */
  ozone_atm_cm: number;
}

/** The sun's path in a civil day. */
export interface SunPath {
  /** `YYYY-MM-DD`. */
  date: string;
  /** Every ten minutes from midnight to midnight, below the horizon too. */
  points: SunPoint[];
  /** Where and when it rises; null where it does not. */
  sunrise: SunPoint | null;
  /** Where and when it sets; null where it does not. */
  sunset: SunPoint | null;
}

/** The sun's position at a time. */
export interface SunPoint {
  /** Of the civil day, on the clock. */
  minute: number;
  /** Clockwise from true north. */
  azimuth_deg: number;
  /** Above the horizon, refraction included. */
  altitude_deg: number;
}

// What pieces are made of

/** Pieces from outside to inside. Values that differ between them are null. */
export interface Section {
  /** Number of the piece that names the section: the last one requested. */
  piece: number;
  /** Numbers of all the pieces. */
  pieces: number[];
  /** Name of the glass of the piece's innermost plate. */
  title: string;
  /** Area that lets light pass, of all the pieces together. */
  light_area_mm2: number;
  /** Width and height of the sheet that the piece is cut from. */
  cut_size_mm: [number, number];
  /** Numbers of the pieces next to it. */
  neighbours: number[];
  /** What the piece is made of. */
  makeup: Makeup;
  /**
   * For each layer of its paint, in the document's order, the share of the piece that its strokes cover, 0–1; null
   * without strokes.
   */
  drawn_share: (number | null)[];
  /** Dirt and corrosion on all glass of the window, where a piece has none of its own. */
  deposits: Deposits;
  /** From outside to inside. */
  layers: Layer[];
  /** What lies between the plates; also null if no piece has two. */
  gap: Gap | null;
  /** Number of plates in each. */
  plates: number | null;
  /** Most plates in any of them. */
  most_plates: number;
  /** CSS colour of the piece in the light requested. */
  swatch: string;
  /** What the whole make-up transmits by standard daylight; of several pieces only if all are alike. */
  colour: TransmittedColour | null;
  /** Share of that light transmitted, 0–1; for several pieces, the mean by area. */
  transmittance_y: number;
  /** The least and the greatest share of any of the pieces. */
  transmittance_range: [number, number];
}

/** A layer of the section. For several pieces, the last that has it gives name, height and colour. */
export interface Layer {
  /** Its key, the same in other pieces. */
  key: LayerKey;
  /** What it is made of. */
  kind: LayerKind;
  /** Its name on the page. */
  name: string;
  /** How it is made, in a word or two; empty if there is nothing to say. */
  detail: string;
  /** Its thickness; null if the pieces differ or it has none worth stating. */
  thickness_mm: number | null;
  /** CSS colour in the light requested; null if it has no colour of its own. */
  swatch: string | null;
  /** Its colours in the pieces, each once, `swatch` last. */
  swatches: string[];
  /** The word for how its spectrum was estimated; null if it was measured. */
  estimate: string | null;
  /** The values of its controls. */
  values: LayerValues;
  /** Number of the pieces that have it. */
  in: number;
  /** Whether it can be moved outward and inward. */
  can_move: [boolean, boolean];
  /** Its relative height in the drawing. */
  relative_height: number;
  /** Least and greatest thickness of sheets of its glass; for glass only. */
  sheet_range_mm?: [number, number];
}

/** A layer of a piece, identified so that other pieces can have the same layer. */
export type LayerKey =
  /** The protective glazing in front of the window; not part of the piece. */
  | {
      layer: 'protective';
    }
  /** The air behind the protective glazing. */
  | {
      layer: 'outer_air';
    }
  /** Dirt or corrosion on the outermost or innermost face of the piece. */
  | {
      layer: 'deposit';
      /** The face it is on. */
      face: Face;
    }
  /** What lies between a plate and the next one inside. */
  | {
      layer: 'gap';
      /** The plate on the gap's inner side. */
      plate: number;
    }
  /** The glass of a plate. */
  | {
      layer: 'plate';
      /** Its number, from the inside. */
      plate: number;
    }
  /** The flash of a plate. */
  | {
      layer: 'flash';
      /** Its number, from the inside. */
      plate: number;
    }
  /** A fired layer. */
  | {
      layer: 'paint';
      /** The plate it is on, from the inside. */
      plate: number;
      /** The face it is on. */
      face: Face;
      /** Its kind, without tone or colour. */
      kind: PaintClass;
      /** Its index among its kind on this face, counted from the glass. */
      nth: number;
    };

/** Kinds of paint, without tone or colour. */
export type PaintClass = 'trace' | 'matting' | 'enamel' | 'stain';

/** What a layer is made of. */
export type LayerKind =
  /** The clear pane in front of the window. */
  | 'protective'
  /** Air behind the protective glazing or between plates. */
  | 'air'
  /** Dirt or corrosion on the outermost or innermost face. */
  | 'deposit'
  /** Two plates cemented or fused. */
  | 'contact'
  /** The glass of a plate. */
  | 'glass'
  /** A flash. */
  | 'flash'
  /** A fired layer of paint. */
  | 'paint';

/** The values of a layer's controls: null if the pieces differ, absent if a layer of this kind has no such value. */
export interface LayerValues {
  /** Share of the piece that it covers, 0–1. */
  coverage?: number | null;
  /** Optical density of the paint, base 10. */
  density?: number | null;
  /** Dirt or corrosion on a face, if it is the same on all the pieces. */
  deposit?: Deposit | null;
  /** Whether it is dirt or corrosion. */
  deposit_kind?: DepositKind | null;
  /** Share of light lost to dirt, 0–1. */
  dirt?: number;
  /** The face that it is on. */
  face?: Face | null;
  /** The firing that it goes through; 1 is the first. */
  firing?: number | null;
  /** The side that the flash is on. */
  flash_face?: Face | null;
  /** Share of the flash that is left, 0–1. */
  flash_left?: number | null;
  /** What lies between two plates. */
  gap?: Gap;
  /** Id of the glass. */
  glass?: string | null;
  /** Kind of paint. */
  kind?: PaintKind | null;
  /** Share of light lost to it, 0–1. */
  loss?: number | null;
  /** Its pigment. */
  pigment?: Pigment | null;
  /** The plate that it is on, 0 the innermost. */
  plate?: number | null;
  /** How it scatters: of paint, dirt and corrosion, and glass of the scene's own. */
  scattering?: Scattering;
  /** Number of the sheet that it was cut from. */
  sheet?: number | null;
  /** Where its numbers come from; an assumption if empty. */
  source?: string | null;
  /** Thickness of a plate or of the protective pane. */
  thickness_mm?: number | null;
}

/** How a layer scatters: null if the pieces differ. */
export interface Scattering {
  /** Share of the passing light that it scatters, 0–1; of paint at its usual density. */
  scatters: number | null;
  /** Share of the scattered light that stays near its old direction, 0–1. */
  forwards: number | null;
  /** Angle from there at which that light has half its radiance. */
  half_width_deg: number | null;
  /** Which of the three no piece states: they are as usual for its kind. */
  usual: [boolean, boolean, boolean];
}

/**
 * The colour of transmitted light by standard daylight: CIE illuminant D65, 1931 observer, white is full transmission.
 * Two pieces can be compared by it wherever and whenever they are seen.
 */
export interface TransmittedColour {
  /** A name for the colour, such as `dark blue`. */
  words: string;
  /** CIE L*, a*, b*. */
  lab: [number, number, number];
  /** Luminous transmittance, 0–1. */
  transmittance_y: number;
  /** Dominant wavelength against D65, nm; for purples the complementary one, negative. null without any colour. */
  dominant_nm: number | null;
  /** Excitation purity against D65, 0–1. */
  excitation_purity: number | null;
}

/** The glasses of a colour family. */
export interface GlassFamily {
  /** Its name. */
  family: string;
  /** In rack order. */
  glasses: GlassChoice[];
}

/** A glass of the library or of the scene's own. */
export interface GlassChoice {
  /** Its id in the scene. */
  id: string;
  /** Its name. */
  name: string;
  /** The origin of its spectrum, in words. */
  provenance: string;
  /** The kind of sheet, in a word; empty for plain glass coloured throughout. */
  kind: string;
  /** CSS colour at the thickness and in the light requested. */
  swatch: string;
  /** Share of that light transmitted, 0–1. */
  transmittance_y: number;
}

/** The result of a change. */
export interface Changed {
  /** The edit that makes the change, one for all the pieces. */
  edit: Edit;
  /** The key of the changed layer after the edit; null if it was removed. */
  layer: LayerKey | null;
  /** How many pieces changed: of all windows, if a glass of the scene's own did. */
  pieces: number;
  /** After `Change::Makeup`, how many of these pieces keep what is drawn on them; otherwise 0. */
  strokes_kept: number;
  /** After `Change::Makeup`, how many of these pieces have an even layer in place of copied strokes; otherwise 0. */
  strokes_left_out: number;
}

// Figures

/** Everything about one instant at one place: the report of the command line, with the sun in words. */
export interface Report {
  /** The scene's name. */
  scene: string;
  /** The instant, UTC. */
  utc: string;
  /** The instant on the site's clocks, with the zone's abbreviation. */
  local: string;
  /** The sun's position. */
  sun: SunReport;
  /** The sun's position, in words: "south-west, 8° up". */
  sun_words: string;
  /** The light outside. */
  outside: OutsideReport;
  /** The light at the place. */
  viewing: ViewingReport;
  /** Piece by piece as the place sees them. */
  pieces: PieceReport[];
  /** The walls around windows that have depth. */
  walls: WallReport[];
  /** The leads of windows whose leads have depth. */
  leads: LeadReport[];
  /** Cautions for the reader of the figures. */
  warnings: string[];
}

/** The sun's position. */
export interface SunReport {
  /** Altitude above the horizon, including refraction. */
  altitude_deg: number;
  /** Azimuth, clockwise from true north. */
  azimuth_deg: number;
  /** Angle between the sun and the normal of the glass; null while the sun is down or behind the wall. */
  incidence_deg: number | null;
}

/** The light outside, lx. */
export interface OutsideReport {
  /** From the sun, on a plane facing it, before the middle of the window: past skyline, trees and blocks. */
  beam_normal_lx: number;
  /** From the whole sky, on open ground. */
  diffuse_horizontal_lx: number;
  /** From the whole sky, and the sun past skyline and trees, on open ground. */
  global_horizontal_lx: number;
  /** From everything, on an upright plane before the middle of the window and in front of its own wall. */
  vertical_on_glass_lx: number;
}

/** The light at the place. */
export interface ViewingReport {
  /** On a vertical plane at the eye that faces the window. */
  vertical: Illuminance;
  /** On a horizontal plane at the eye. */
  horizontal: Illuminance;
  /**
   * Ratio of the vertical illuminance to that with clear glass in the same leads at the same minute: one pane of 3 mm
   * float, no paint and no protective glazing, so that a protective pane counts as part of the window's loss.
   */
  share_of_clear: number | null;
  /** The colour of the vertical light. */
  cast: Cast;
  /** How things look in it. */
  looks: Looks;
  /**
   * CIE general colour rendering index of the vertical light; null where it has no meaning, and where it is too dark
   * for colour.
   */
  ra: number | null;
  /** Glare of the view from the eye, straight at the window. */
  glare: Glare;
  /** The light on the working plane of the place: the figures in front if it has one. */
  working_plane?: WorkingPlaneReport;
}

/** An illuminance by path, lx. */
export interface Illuminance {
  /** The total. */
  total_lx: number;
  /** Directly through the glass from sky and ground. */
  sky_ground_lx: number;
  /** Directly through the glass from the sun. */
  sun_lx: number;
  /** Reflected by the room. */
  room_lx: number;
  /**
   * Standard deviation of the total if only the glasses were not known exactly: half the width of the range that holds
   * nine cases of ten, over 1.645. null if the ranges were not asked for; they are in `Ranges`(crate::Ranges), with
   * everything else that counts.
   */
  uncertainty_lx: number | null;
}

/** The chromaticity of the light at a place and how it differs from the same room with clear glass. */
export interface Cast {
  /** CIE 1931 x. */
  x: number | null;
  /** CIE 1931 y. */
  y: number | null;
  /** CIE 1976 u′. */
  u_prime: number | null;
  /** CIE 1976 v′. */
  v_prime: number | null;
  /** Correlated colour temperature, K; null where |Duv| exceeds 0.05. */
  cct_k: number | null;
  /** Distance from the Planckian locus, positive above it. */
  duv: number | null;
  /**
   * Dominant wavelength, nm, with equal-energy light as white, as is usual for the colour of lights. For purples it is
   * the complementary wavelength, negative.
   */
  dominant_nm: number | null;
  /** Excitation purity against the same white, 0–1. */
  excitation_purity: number | null;
  /** Δu′v′ from the same room with clear glass at the same minute. */
  shift_from_clear: number | null;
  /**
   * Standard deviation of the position in (u′, v′) if only the glasses were not known exactly, √(σu′² + σv′²). null if
   * the ranges were not asked for, and at the eye where the place has a working plane.
   */
  uncertainty_uv: number | null;
  /** In words for a client. */
  words: string;
}

/**
 * White cloth, pale stone and two skins; their reflectances are invented and estimated. null if it is too dark to see
 * colour.
 */
export interface Looks {
  /** Bleached linen. */
  white_cloth: Look | null;
  /** Pale limestone. */
  pale_stone: Look | null;
  /** Dark skin. */
  dark_skin: Look | null;
  /** Light skin. */
  light_skin: Look | null;
}

/** The look of a surface to an eye that has partly adapted to the light. */
export interface Look {
  /** CIE L*, a*, b* for D65, after adaptation. */
  lab: [number, number, number];
  /** sRGB, 0–255, clipped to the display. */
  srgb: [number, number, number];
}

/** Glare of the view from a place, straight at the window. */
export interface Glare {
  /**
   * Daylight glare probability, 0–1, by Wienold & Christoffersen 2006: the share of people whom such a view disturbed
   * at desks in offices; null in light too low for it, below 380 lx at the eye.
   */
  dgp: number | null;
  /** The lower end of the range that the level of the light leaves it in nine cases of ten; null without ranges. */
  dgp_p05: number | null;
  /** Its upper end. */
  dgp_p95: number | null;
  /** What that means: not noticed, noticeable, disturbing, intolerable; in lower light that it is not known. */
  words: string;
  /** Share of the sun's disc that stands in the eyes, 0–1: above skyline and blocks, though perhaps behind trees. */
  sun_share: number;
  /** Numbers of the pieces through which it does. */
  sun_through: number[];
}

/** The light on the working plane of a place. */
export interface WorkingPlaneReport {
  /** What it is. */
  kind: WorkingPlaneKind;
  /** Its height above the floor of the room. */
  height_m: number;
  /** On the plane, from above. */
  horizontal: Illuminance;
  /** Ratio of this illuminance to that with clear glass; as for the light at the eye. */
  share_of_clear: number | null;
  /** The colour of the light on the plane. */
  cast: Cast;
  /** How things look that lie on it. */
  looks: Looks;
  /** CIE general colour rendering index of that light; as for the light at the eye. */
  ra: number | null;
}

/** One piece. */
export interface PieceReport {
  /** Its number. */
  id: number;
  /** Ids of its glasses, outermost first, joined by " + ". */
  glass: string;
  /** Area that light passes through, mm². */
  light_area_mm2: number;
  /** Mean luminance toward the place, without the sun's disc; null if the piece cannot be seen. */
  luminance_cd_m2: number | null;
  /** CIE 1931 x of that light. */
  x: number | null;
  /** CIE 1931 y of that light. */
  y: number | null;
  /** Luminous transmittance at normal incidence, regular and diffuse, for D65, 0–1. */
  transmittance_y: number;
}

/** The wall around one window: what is stated, and what it takes. */
export interface WallReport {
  /** Id of the window. */
  window: string;
  /** The reveal outside the glass. */
  outer: RevealReport;
  /** The reveal inside. */
  inner: RevealReport;
  /** How far the overhang stands out, m; 0 without one. */
  overhang_m: number;
  /** Share of the light straight onto the window that bars and mesh let by, 0–1. */
  guards_open: number;
  /**
   * Share of the light on the outside of the glass under a CIE standard overcast sky over a ground that reflects 0.2,
   * with nothing else outside, that the wall, its overhang, bars and mesh take, 0–1.
   */
  overcast_taken: number;
}

/** One reveal. */
export interface RevealReport {
  /** From the glass to the face of the wall, m. */
  depth_m: number;
  /** Splay of the jambs, degrees. */
  jamb_deg: number;
  /** Splay of the head, degrees. */
  head_deg: number;
  /** Splay of the sill, degrees. */
  sill_deg: number;
}

/** The depth of the leads of one window. */
export interface LeadReport {
  /** Id of the window. */
  window: string;
  /** How far their leaves stand out from the glass, mm. */
  leaf_mm: number;
  /**
   * Share of the light of a CIE standard overcast sky, over a ground that reflects 0.2, that the depth of leads and
   * bars takes of what passes flat ones, 0–1. Mean over the glass.
   */
  overcast_taken: number;
}

/** How well the figures are known: in nine cases of ten they lie between `p05` and `p95`. */
export interface Ranges {
  /** Share of cases in a range: 0.9. */
  coverage: number;
  /** If only the glass were not known exactly: its colour, thickness, flash, streaks and index. */
  glass_alone: LightRanges;
  /**
   * With everything that is not known exactly: glass, paint, scattering, protective glazing, the wall around a window,
   * room, ground and sky.
   */
  everything: LightRanges;
  /** What the illuminance in front depends on, the largest share first. Shares below half a per cent are left out. */
  depends_on: Dependence[];
  /** Share of the variance that is due to several of these together. */
  together: number;
  /** Of the daylight glare probability, as the level of the light at the eye leaves it; null where there is none. */
  dgp: FigureRange | null;
  /** Each piece, in the order of the report. */
  pieces: PieceRange[];
}

/** Ranges of the light at the place. */
export interface LightRanges {
  /** On a vertical plane at the eye that faces the window. */
  vertical_lx: FigureRange;
  /** On a horizontal plane at the eye. */
  horizontal_lx: FigureRange;
  /** Share of clear glass, of the figure in front: on the working plane if there is one, otherwise vertical. */
  share_of_clear: FigureRange | null;
  /** CIE 1931 x of the same light. */
  x: FigureRange | null;
  /** CIE 1931 y of it. */
  y: FigureRange | null;
  /** CIE 1976 u′ of it. */
  u_prime: FigureRange | null;
  /** CIE 1976 v′ of it. */
  v_prime: FigureRange | null;
  /** On the working plane, if the place has one. */
  working_plane_lx?: FigureRange;
}

/** A figure's range. */
export interface FigureRange {
  /**
   * The figure is as likely above it as below. Where the range is skewed it is not the figure that is printed, for
   * which everything is taken at its most likely value.
   */
  median: number;
  /** Lower end: the figure is below it in one case of twenty. */
  p05: number;
  /** Upper end: the figure is above it in one case of twenty. */
  p95: number;
  /** A power of ten: more exact digits of the figure mean nothing. Its range is at least four of them wide. */
  step: number;
  /**
   * The power of ten to whose multiples the figure that is printed is rounded: `step`, or less where it would not keep
   * a significant digit, as in a dark and thus skewed one.
   */
  figure_step: number;
  /** The same for the lower end. */
  p05_step: number;
  /** The same for the upper end. */
  p95_step: number;
}

/** One thing that the figure in front depends on. */
export interface Dependence {
  /** What it is: "strength of cobalt (Co2+)". */
  what: string;
  /** One standard deviation of it: "± 22 %". */
  spread: string;
  /** Where that is from: `measured`, `common practice, no source` or `assumption`. */
  origin: string;
  /** Share of the variance of the figure's logarithm, 0–1. */
  share: number;
}

/** The range of a piece's luminance. */
export interface PieceRange {
  /** Its number. */
  id: number;
  /** Toward the place; null if the piece cannot be seen. */
  luminance_cd_m2: FigureRange | null;
}

/** A day, or a part of one, in quarters of an hour. */
export interface Day {
  /** `YYYY-MM-DD`. */
  date: string;
  /** Sunrise, `HH:MM` on the site's clocks; null if the sun does not rise. */
  sunrise: string | null;
  /** Sunset, in the same form. */
  sunset: string | null;
  /** If the sun neither rises nor sets, whether it is up or down all day. */
  polar: 'day' | 'night' | null;
  /** In the order of the day. */
  instants: DayInstant[];
}

/** One step of a day. */
export interface DayInstant {
  /** Minute of the civil day, on the site's clocks. */
  minute: number;
  /** Illuminance at the place: on its working plane if it has one, otherwise at the eye, vertical. */
  total_lx: number;
  /** Its part directly from sky and ground. */
  sky_ground_lx: number;
  /** Its part directly from the sun. */
  sun_lx: number;
  /** Its part reflected by the room. */
  room_lx: number;
  /** This illuminance as a share of that with clear glass; null if there is no light. */
  share_of_clear: number | null;
  /** CSS colour of white cloth in this light; null if it is too dark to see colour. */
  swatch: string | null;
  /** The colour of the light, in words. */
  words: string;
  /** Altitude of the sun, refraction included. */
  sun_altitude_deg: number;
  /** The sun's position, in words: "south-west, 8° up". */
  sun_words: string;
}

/** A year, or a part of one: the middle day of each month hour by hour, and the sun's days. */
export interface Year {
  /** The calendar year. */
  year: number;
  /** In the order of the year. */
  hours: YearHour[];
  /** In the order of the year. */
  sun: SunOfDay[];
}

/** An hour of the middle day of a month. */
export interface YearHour {
  /** 1–12. */
  month: number;
  /** 0–23, of the site's clocks. */
  hour: number;
  /** Illuminance at the place: on its working plane if it has one, otherwise at the eye, vertical. */
  total_lx: number;
  /** CSS colour of white cloth in this light; null if it is too dark to see colour. */
  swatch: string | null;
  /** The colour of the light, in words. */
  words: string;
}

/** Sunrise and sunset of one day, by the site's clocks. */
export interface SunOfDay {
  /** Day of the year, the first of January 1. */
  day: number;
  /** Minute on the clock at which the sun rises; null if it does not. */
  sunrise_minute: number | null;
  /** The same for sunset. */
  sunset_minute: number | null;
  /** `day` or `night` if the sun neither rises nor sets. */
  polar: 'day' | 'night' | null;
}

// Changes of pieces

/** One change to what pieces are made of. */
export type Change =
  /** Replaces the glass of a plate. Etching is kept only if the new glass is flashed too. */
  | {
      change: 'glass';
      plate: number;
      glass: string;
    }
  /** Sets the thickness of a plate. */
  | {
      change: 'thickness';
      plate: number;
      thickness_mm: number;
    }
  /** Sets the sheet that a plate is cut from. */
  | {
      change: 'sheet';
      plate: number;
      sheet: number;
    }
  /** Etches or abrades the flash to this share of it. */
  | {
      change: 'flash_left';
      plate: number;
      flash_left: number;
    }
  /** Sets the side that the flash is on. */
  | {
      change: 'flash_face';
      plate: number;
      face: Face;
    }
  /** Adds a plate, in front (outside) or behind (inside); three at most. */
  | {
      change: 'add_plate';
      side: Face;
      glass: string;
      thickness_mm: number;
    }
  /** Removes a plate with its paint. The last plate cannot be removed. */
  | {
      change: 'remove_plate';
      plate: number;
    }
  /** Sets what lies between plates. */
  | {
      change: 'gap';
      gap: Gap;
    }
  /** Adds a layer of paint with the usual settings, in a firing after all the others. */
  | {
      change: 'add_paint';
      kind: PaintKind;
    }
  /** Removes a layer of paint. */
  | {
      change: 'remove_paint';
      paint: LayerKey;
    }
  /** Changes a layer of paint. What is not given stays the same. */
  | {
      change: 'paint';
      paint: LayerKey;
      coverage?: number | null;
      density?: number | null;
      face?: Face | null;
      firing?: number | null;
      kind?: PaintKind | null;
      pigment?: Pigment | null;
      plate?: number | null;
    }
  /**
   * Changes how a layer of paint, dirt or corrosion, or glass of the scene's own scatters; the glass changes wherever
   * it is used. What is not given stays the same, or with `usual` is as usual again.
   */
  | {
      change: 'scattering';
      layer: LayerKey;
      /** Share of the scattered light that stays near its old direction, 0–1. */
      forwards?: number | null;
      /** Angle from there at which that light has half its radiance. */
      half_width_deg?: number | null;
      /** Share of the passing light that it scatters, 0–1. */
      scatters?: number | null;
      usual?: boolean;
    }
  /** Adds usual dirt to a face on which nothing lies. */
  | {
      change: 'add_deposit';
      face: Face;
    }
  /**
   * Changes dirt or corrosion on a face of the piece, which then differs from its window there. What is not given stays
   * the same.
   */
  | {
      change: 'deposit';
      face: Face;
      kind?: DepositKind | null;
      loss?: number | null;
      scatters?: number | null;
      source?: string | null;
    }
  /** Makes dirt or corrosion on a face that of the window again. */
  | {
      change: 'deposit_as_window';
      face: Face;
    }
  /**
   * Sets dirt or corrosion on a face of the whole window; `null`: clean. No piece of the window, selected or not, then
   * has any of its own there.
   */
  | {
      change: 'deposit_everywhere';
      face: Face;
      deposit?: Deposit | null;
    }
  /** Moves a plate or a layer of paint one place outward or inward; with `past`, until it lies beyond that layer. */
  | {
      change: 'move';
      layer: LayerKey;
      toward: Face;
      past?: LayerKey | null;
    }
  /**
   * Replaces the make-up by one copied from another piece. Strokes belong to their piece: those copied are left out,
   * and what is drawn on the piece stays. A layer of copied strokes covers its `drawn_share` evenly if nothing of its
   * kind is drawn on the piece: for each layer of paint, the share of its own piece that its strokes cover, 0–1.
   */
  | {
      change: 'makeup';
      makeup: Makeup;
      drawn_share?: (number | null)[];
    };

// Actions on variants

/** An action on the list of variants, or the choice of the one shown. */
export type VariantAction =
  /** Shows a variant, or the scene as drawn, without changing anything. */
  | {
      variant: 'show';
      /** Its name; `null` for the scene as drawn. */
      name?: string | null;
    }
  /** Adds a variant equal to what is shown. */
  | {
      variant: 'add';
      /** Its name. */
      name: string;
      /** Its note. */
      note?: string;
    }
  /** Renames a variant. */
  | {
      variant: 'rename';
      /** Its name. */
      name: string;
      /** The new name. */
      to: string;
    }
  /** Changes the note of a variant. */
  | {
      variant: 'note';
      /** Its name. */
      name: string;
      /** The new note. */
      note: string;
    }
  /** Removes a variant. */
  | {
      variant: 'remove';
      /** Its name. */
      name: string;
    }
  /** Adds a copy of a variant. */
  | {
      variant: 'duplicate';
      /** Its name. */
      name: string;
      /** Name of the copy. */
      to: string;
    }
  /** Applies a variant to the scene as drawn; what every other variant shows stays the same. */
  | {
      variant: 'make_scene';
      /** Its name. */
      name: string;
    };

// Pictures

/** A picture of a window, or of a part of it. */
export interface PictureRequest {
  /** Id of the window. */
  window: string;
  /** The place it is seen from; empty for the first. */
  place: string;
  /** Civil time at the site. */
  at: string;
  /** What the picture is for. */
  mode: PictureMode;
  /** Whether stripes mark what the screen cannot show. */
  mark_unshowable: boolean;
  /** Width of the picture. */
  width_px: number;
  /** Height of the picture. */
  height_px: number;
  /** The point in the middle of the picture: distance from the left of the sight size. */
  centre_x_mm: number;
  /** The same point: distance from the **top** of the sight size. */
  centre_y_mm: number;
  /** The length of the window that a pixel shows. */
  mm_per_px: number;
  /** The gamut of the screen; only if no canvas determines it. */
  gamut?: Gamut | null;
}

/** What a picture is for. */
export type PictureMode =
  /** How the window looks to the eye from the dim room. */
  | 'appearance'
  /** For comparing colours. */
  | 'colour_true';

/** The gamut of a screen or a file. */
export type Gamut =
  /** The gamut of most screens. */
  | 'srgb'
  /** Display P3. */
  | 'display_p3';

/** A whole window as a picture file. */
export interface FileRequest {
  /** Id of the window. */
  window: string;
  /** The place it is seen from; empty for the first. */
  place: string;
  /** Civil time at the site. */
  at: string;
  /** What the picture is for. */
  mode: PictureMode;
  /** Whether stripes mark what the file cannot show. */
  mark_unshowable: boolean;
  /** The gamut of the file. */
  gamut: Gamut;
  /** Width of the picture; its height follows. */
  width_px: number;
}

// The lines of an open window, checked in the same module as new ones

/** What was found in the lines of a window. */
export interface CheckedLines {
  /** What should be looked at, from the top. */
  places: LinePlace[];
  /** The edit that mends every end within the tolerance; null if there is none. */
  mend_all: Edit | null;
}

/** A place in the lines of a window that should be looked at. */
export interface LinePlace {
  /** What it is. */
  kind: FaultKind;
  /** Where. */
  at_mm: [number, number];
  /** In words. */
  words: string;
  /** How far an open end is from the nearest line; null for anything else. */
  distance_mm: number | null;
  /** The nearest point of that line. */
  to_mm: [number, number] | null;
  /** The edit by which an open end within the tolerance meets another line. */
  mend: Edit | null;
}

/** What kind of thing should be looked at. */
export type FaultKind =
  /** A near miss within the tolerance was joined. */
  | 'joined'
  /** A line ends close to another without meeting it. */
  | 'near_miss'
  /** A line ends in the middle of a piece. */
  | 'open_end'
  /** A line ends just past the line that it meets. */
  | 'overshoot'
  /** A line was drawn twice. */
  | 'duplicate'
  /** A piece too narrow to be glass. */
  | 'sliver'
  /** A line or a part of it lies outside the window. */
  | 'outside'
  /** Something could not be read. */
  | 'not_understood';

// New windows, a module of their own

/** A drawing as it was read. */
export interface CheckedDrawing {
  /** Width of the sight size. */
  width_mm: number;
  /** Height of the sight size. */
  height_mm: number;
  /** The least and the most that its real width may be, mm. */
  width_range_mm: [number, number];
  /** How many pieces. */
  pieces: number;
  /** What each layer was taken as, in the file's order. */
  layers: DrawingLayer[];
  /** What should be looked at, from the top. */
  places: DrawingPlace[];
  /** What the file does not say and was assumed, in sentences. */
  assumed: string[];
  /** The edge of the daylight opening as SVG path data. */
  outline: string;
  /** All leads inside it as SVG path data. */
  cutlines: string;
  /** All bars as SVG path data; empty without bars. */
  bars: string;
  /** What a scene starts with unless it is given. */
  usual: UsualStart;
}

/** A layer of a drawing. */
export interface DrawingLayer {
  /** Its name in the file, or how its lines look where they have no name. */
  name: string;
  /** What it was taken as. */
  taken_as: Role;
  /** Its groups of shapes. Empty where it cannot be taken as anything else: the outer edge of a layer of leads. */
  groups: number[];
}

/** What a layer is taken as. */
export type Role =
  /** The edge of the daylight opening. */
  | 'outline'
  /** Leads inside it. */
  | 'cutlines'
  /** Saddle bars. */
  | 'bars'
  /** Nothing. */
  | 'ignored';

/** A place that should be looked at. */
export interface DrawingPlace {
  /** What it is. */
  kind: FaultKind;
  /** Where. */
  at_mm: [number, number];
  /** In words. */
  words: string;
}

/** What a new scene starts with unless it is given. */
export interface UsualStart {
  /** Where the building stands. */
  site: Site;
  /** Compass bearing that the outside of the window faces. */
  facing_deg: number;
  /** Height of the sill above the floor. */
  sill_height_m: number;
  /**
   * Each plane on which light may be wanted at the viewing position, at its usual height. Without one, a person looks
   * at the window there.
   */
  working_planes: WorkingPlane[];
}

/** How a drawing is to be read. */
export interface DrawingOptions {
  /** Groups that are taken as something else than what was recognised. */
  roles: GroupRole[];
  /** The drawing shows the window from outside. */
  seen_from_outside: boolean;
  /** The real width of the sight size, mm; null for the file's own. In the range of `CheckedDrawing`. */
  width_mm?: number | null;
}

/** What a group of shapes is taken as. */
export interface GroupRole {
  /** The group, by the numbers of `DrawingLayer`. */
  group: number;
  /** What it is taken as. */
  taken_as: Role;
}

/** What becomes of an opening's measurements. */
export interface CheckedOpening {
  /** The window; null if the measurements are impossible. */
  drawn: DrawnOpening | null;
  /** Why they are impossible; empty if they are not. */
  faults: OpeningFault[];
}

/** A window as it is drawn from its measurements. */
export interface DrawnOpening {
  /** Width of the sight size. */
  width_mm: number;
  /** Height of the sight size. */
  height_mm: number;
  /** Height of the head above the springing line; null without one. */
  rise_mm: number | null;
  /** Width and height of a whole pane or quarry, which divide the field evenly; null for one piece. */
  pane_mm: [number, number] | null;
  /** How many pieces. */
  pieces: number;
  /** The visible glass of the piece that shows least, mm². */
  smallest_mm2: number;
  /**
   * The edges of the pieces that are as small, as SVG path data; empty if they are at least a third as large as the
   * middle one of all.
   */
  smallest: string;
  /** The edge of the daylight opening as SVG path data. */
  outline: string;
  /** All leads inside it as SVG path data. */
  cutlines: string;
  /** All bars as SVG path data; empty without bars. */
  bars: string;
  /** How many bars. */
  bar_count: number;
  /** What a scene starts with unless it is given. */
  usual: UsualStart;
}

/** One reason why no window can be drawn. `field` is the path of the measurement, such as `opening.width_mm`. */
export type OpeningFault =
  /** A length outside its range, or no number. */
  | {
      kind: 'length';
      /** The measurement. */
      field: string;
      /** Shortest possible, mm. */
      least_mm: number;
      /** Longest possible, mm. */
      most_mm: number;
      /** Where the range comes from, to be read after it; empty if it is the general one. */
      why: string;
      /** The length, mm. */
      found_mm: number;
    }
  /** Something that no length makes possible, as the other measurements are. */
  | {
      kind: 'impossible';
      /** Its measurement. */
      field: string;
      /** What is possible instead, and why: to be read after "expected". */
      why: string;
      /** The length, mm. */
      found_mm: number;
    }
  /** A number of columns or rows outside its range. */
  | {
      kind: 'count';
      /** The measurement. */
      field: string;
      /** Least possible. */
      least: number;
      /** Most possible. */
      most: number;
      /** Where the range comes from, to be read after it. */
      why: string;
      /** The number. */
      found: number;
    }
  /** Leads so wide that next to no glass shows between them. */
  | {
      kind: 'little_glass';
      /** What is too small. */
      what: string;
      /** Smallest inscribed circle that leaves some glass: its diameter, mm. */
      least_mm: number;
      /** Diameter of the inscribed circle, mm. */
      found_mm: number;
    }
  /** More pieces than one drawing may hold. */
  | {
      kind: 'too_many_pieces';
      /** What gives most of them. */
      field: string;
      /** The limit. */
      limit: number;
      /** The number, estimated from the measurements. */
      found: number;
    }
  /** Leads so near each other that the drawing makes no sound panel. */
  | {
      kind: 'not_sound';
      /** What gives the piece at fault. */
      field: string;
      /** What is wrong with the first such piece, and where, in mm from the opening's lower left. */
      reason: string;
    };

/** A leaded window by its measurements. */
export interface Measurements {
  /** The daylight opening. */
  opening: Opening;
  /** What fills it. */
  filling: Filling;
  /** Saddle bars; none without it. */
  bars?: Bars | null;
  /** A strip of glass all round; none without it. */
  border?: Border | null;
  /** The leads' widths. */
  leads?: Leads;
}

/**
 * The daylight opening (sight size) of a window, by its measurements: widths and heights overall, 50–19 999 mm.
 *
 * All shapes are symmetrical about their vertical axis.
 */
export type Opening =
  /** Four straight sides. */
  | {
      shape: 'rectangle';
      /** Width, mm. */
      width_mm: number;
      /** Height, mm. */
      height_mm: number;
    }
  /** A semicircle on straight sides. */
  | {
      shape: 'round_headed';
      /** Width, mm: twice the radius of the head. */
      width_mm: number;
      /** Height to the crown, mm, half the width or more. */
      height_mm: number;
    }
  /**
   * A two-centred pointed arch on straight sides.
   *
   * The centres lie on the springing line, so that the arcs continue the sides without a corner. With half the width a
   * and the rise h, each arc's radius is r = (a² + h²) / 2a, its centre r inward from its own springing: the circle
   * through the springing and the apex (Pythagoras). h = a√3 gives the equilateral arch, r = 2a; less a dropped one,
   * more a lancet.
   */
  | {
      shape: 'pointed';
      /** Width, mm. */
      width_mm: number;
      /** Height to the apex, mm, at least the rise. */
      height_mm: number;
      /**
       * Height of the apex above the springing line, mm, more than half the width by at least 1 mm. Without it, the
       * arch is equilateral.
       */
      rise_mm?: number | null;
    }
  /**
   * A circular arc, lower than a semicircle, on straight sides.
   *
   * With half the width a and the rise h, the radius is r = (a² + h²) / 2h, the centre on the axis r below the crown.
   */
  | {
      shape: 'segmental';
      /** Width, mm. */
      width_mm: number;
      /** Height to the crown, mm, at least the rise. */
      height_mm: number;
      /** Height of the crown above the springing line, mm, from 1 mm to half the width. */
      rise_mm: number;
    }
  /** A full circle. */
  | {
      shape: 'round';
      /** Diameter, mm. */
      diameter_mm: number;
    };

/**
 * How the field is divided: the opening, or what its border leaves of it.
 *
 * Panes are equal and divide the width and height of the field's bounding box evenly: a whole number each way, and
 * where sizes are given, the nearest, one at least. Under an arched head the lattice runs on to the crown and is cut
 * off by the arch.
 */
export type Filling =
  /** One piece. */
  | {
      pattern: 'plain';
    }
  /** Upright rectangles by number. */
  | {
      pattern: 'rectangles';
      /** Side by side, 1–2000. */
      columns: number;
      /** One above the other, 1–2000. */
      rows: number;
    }
  /** Upright rectangles by size. */
  | {
      pattern: 'rectangles_by_size';
      /** Width of a pane, mm, 10–20 000, between the leads' centre lines. */
      pane_width_mm: number;
      /** Height of a pane, mm, 10–20 000, between the leads' centre lines. */
      pane_height_mm: number;
    }
  /** Diamond panes. Half quarries fill up straight edges, so that the points of whole ones lie on the edges. */
  | {
      pattern: 'quarries';
      /** Diagonal from side to side, mm, 10–20 000, between the leads' centre lines. */
      width_mm: number;
      /** Diagonal from bottom to top, mm, 10–20 000. */
      height_mm: number;
    };

/**
 * Horizontal saddle bars at equal distances over the height.
 *
 * Each is moved to the nearest row of crossings of the filling, if that is less than a quarter of their distance away:
 * there the leads hide it.
 */
export interface Bars {
  /** Diameter, mm, 3–50. */
  diameter_mm?: number;
  /** About how far apart, mm, 100–20 000. */
  spacing_mm?: number;
}

/**
 * A strip of glass all round, parallel to the opening's edge.
 *
 * It is divided at the corners, the springing points and the apex or crown (a circle: at its four quarters), and
 * between them into equal pieces, across the strip and so radially in an arc. The leads at corners are mitred.
 */
export interface Border {
  /**
   * Width between the leads' centre lines, mm: below a third of the opening's smaller dimension, and wide enough that 5
   * mm of glass show between the leads.
   */
  width_mm: number;
  /**
   * About how long each piece is, mm, the border's width or more. Without it, 150 mm (`DEFAULT_BORDER_PIECE_MM`), or
   * the border's width if that is more.
   */
  piece_mm?: number | null;
}

/** Full face widths of the leads. */
export interface Leads {
  /** Lead all round the window, mm, 2–50. Half of it shows. */
  border_face_mm?: number;
  /** All other leads, mm, 2–50. */
  face_mm?: number;
}

/** What a new scene starts with. What is null is assumed, and the scene's note says so. */
export interface WindowStart {
  /** The scene's name. */
  name: string;
  /** Civil time of the first light, `YYYY-MM-DDTHH:MM`; null for noon at an equinox. */
  at?: string | null;
  /** Compass bearing that the outside of the window faces. */
  facing_deg?: number | null;
  /** Height of the sill above the floor. */
  sill_height_m?: number | null;
  /** Where the building stands. */
  site?: Site | null;
  /** The plane on which light is wanted at the viewing position; null for a person. */
  working_plane?: WorkingPlane | null;
}

// Names of combinations and parts

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
