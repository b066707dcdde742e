// What the page shows and what its parts ask for: the one place where document, picture and figures meet.
import type {
  Change,
  Changed,
  Choices,
  Day,
  DayInstant,
  DemoName,
  Edit,
  Fault,
  Gamut,
  GlassFamily,
  Overview,
  PictureMode,
  Report,
  Section,
  SunPath,
  Surroundings,
  Vary,
  WindowOutline,
} from '../engine/contract';
import { FiguresClient } from '../engine/figures-client';
import { compile } from '../engine/module';
import { SceneFaults, Trapped, messageOf } from '../engine/faults';
import type { PageEngine } from '../engine/page-engine';
import { SoftwareDriver } from '../engine/software-driver';
import { nextTurn } from '../engine/turn';
import { PictureDriver } from '../engine/picture-driver';
import type { Drawer, DrawingEvents, Wanted } from '../engine/drawing';
import { MINUTES_OF_DAY, addDays, clampMinute, minuteOf, parseCivil, writeCivil, yearOf } from './civil';
import { YearStore } from './year.svelte';
import { plainName } from './download';
import { beginWith, SceneFiles } from './files.svelte';
import { keeping } from './keeping.svelte';
import { Selection } from './selection.svelte';
import { wallView, type Point } from './view.svelte';

/** An hour stepped by keys becomes one edit when the keys have been still this long. */
const HOUR_SETTLES_MS = 600;
/** Colours this near pass for the same on the bench, in CIEDE2000. */
const ALIKE_DELTA_E = 5;
const PICTURES_BEFORE_GIVING_UP = 3;
const CARD_COMES_BACK_MS = 1000;
/** Figures come first where the picture takes longer than this. */
const FIRST_LIGHT_PATIENCE_MS = 2500;

export type PictureState =
  | { state: 'starting' }
  /** `slow`: by the processor, because there is neither WebGPU nor WebGL2. */
  | { state: 'drawing'; backend: string; gamut: Gamut; slow: boolean }
  /** What is wanted cannot be drawn; another hour or place may be. */
  | { state: 'refused'; why: string }
  | { state: 'failed'; why: string };

export interface FaultList {
  title: string;
  sentence: string;
  faults: Fault[];
}

export interface View {
  widthPx: number;
  heightPx: number;
  centreMm: readonly [number, number];
  mmPerPx: number;
}

export class Studio {
  loading = $state(true);
  /** The module is there: the picture's worker can start while the scene is being opened. */
  compiled = $state(false);
  /** Why the page cannot work at all. */
  broken = $state<string | null>(null);
  demos = $state.raw<DemoName[]>([]);
  /** The demo that is open; null for a file. */
  get demo(): string | null {
    return this.files.demo;
  }
  overview = $state.raw<Overview | null>(null);
  windowId = $state('');
  placeName = $state('');
  mode = $state<PictureMode>('appearance');
  /** Stripes over what the screen cannot show. */
  markUnshowable = $state(false);
  /** Civil time shown, ahead of the document's while the hour is dragged. */
  at = $state('');
  report = $state.raw<Report | null>(null);
  /** The hour that the report is of. */
  reportAt = $state('');
  reportFaults = $state.raw<Fault[]>([]);
  day = $state.raw<Day | null>(null);
  /** 0–1 while a day is worked out, otherwise null. */
  dayDone = $state<number | null>(null);
  /** After a stop: the minute from which on the day shown is an older one; null where it is of a piece. */
  dayOldFrom = $state<number | null>(null);
  surroundings = $state.raw<Surroundings | null>(null);
  choices = $state.raw<Choices | null>(null);
  readonly year = new YearStore({
    want: (year) => this.#figures?.wantYear(year, this.placeName),
    stop: () => this.#figures?.stopYear(),
  });
  section = $state.raw<Section | null>(null);
  canUndo = $state(false);
  canRedo = $state(false);
  /** What undo would take back: "glass of piece 84". */
  undoWords = $state<string | null>(null);
  redoWords = $state<string | null>(null);
  faults = $state.raw<FaultList | null>(null);
  /** One line about something that has happened; gone with the next action. */
  notice = $state<string | null>(null);
  picture = $state.raw<PictureState>({ state: 'starting' });
  /** A picture has been shown since the page was opened. */
  lit = $state(false);
  /** Another number asks for another canvas element. */
  canvas = $state(0);

  #engine: PageEngine | null = null;
  #opened: () => void = () => undefined;
  /** Settles when there is a scene. */
  readonly #scene = new Promise<void>((resolve) => (this.#opened = resolve));
  #figures: FiguresClient | null = null;
  #driver: Drawer | null = null;
  /** No graphics card answers: the picture is painted by the processor. */
  #slow = false;
  #module: WebAssembly.Module | null = null;
  #view: View | null = null;
  #frame = 0;
  #settle: ReturnType<typeof setTimeout> | undefined;
  #pictureFailures = 0;
  #drawnByCard = false;
  #rebuilding = false;
  /** An edit that is in the hand is shown, and whether its figures are being waited for. */
  #previewed = false;
  #previewing = false;
  #nextPreview: string | null = null;
  /** Which day the slivers belong to. */
  #dayOf = '';
  /** The instants of that day that have come since it was asked for. */
  #dayParts: DayInstant[] = [];

  readonly window: WindowOutline | null = $derived(
    this.overview?.windows.find((w) => w.id === this.windowId) ?? this.overview?.windows[0] ?? null,
  );
  readonly civil = $derived(parseCivil(this.at));
  readonly selection = new Selection();
  /** Ids of the chosen pieces in the order of choosing; the last one is `chosen`. */
  get selected(): readonly number[] {
    return this.selection.pieces;
  }
  /** The piece whose section is shown. */
  get chosen(): number | null {
    return this.selection.primary;
  }
  /** Where the sun stands at the hour shown: from the report where it is for this hour, else the nearest of the day's. */
  readonly sunWords: string | null = $derived.by(() => {
    if (this.report !== null && this.reportAt === this.at) return this.report.sun_words;
    const instants = this.day?.date === this.civil.date ? this.day.instants : [];
    let nearest: DayInstant | null = null;
    for (const instant of instants) {
      const away = Math.abs(instant.minute - this.civil.minute);
      if (nearest === null || away < Math.abs(nearest.minute - this.civil.minute)) nearest = instant;
    }
    return nearest?.sun_words ?? null;
  });

  async start(): Promise<void> {
    PictureDriver.prepare();
    try {
      const asked = new URLSearchParams(location.search).get('scene');
      const [module, found] = await Promise.all([compile(), keeping.find(asked)]);
      this.#module = module;
      this.compiled = true;
      const { engine, opened } = await beginWith(module, found, asked);
      this.#engine = engine;
      this.#opened();
      await nextTurn();
      this.files.begin(module, engine);
      this.demos = engine.demos();
      this.choices = engine.choices();
      await nextTurn();
      this.#sceneOpened();
      this.files.started(opened);
      this.loading = false;
      setTimeout(() => this.#begin(), FIRST_LIGHT_PATIENCE_MS);
    } catch (error) {
      this.loading = false;
      this.broken = messageOf(error);
    }
  }

  // ---- Files and demos ------------------------------------------------------------------------------------------

  /** What opens and saves; it knows where the scene on the page came from. */
  readonly files = new SceneFiles({
    open: (change, listed) =>
      this.#acting((engine) => {
        change(engine);
        this.#figures?.open(engine.shownText());
        this.#sceneOpened();
      }, listed),
    name: () => this.overview?.name ?? '',
    commit: () => this.commitHour(),
    refused: (faults) => (this.faults = faults),
    showView: (view) => this.#showView(view),
  });

  openDemo(id: string): void {
    this.files.openDemo(id);
  }

  openFile(file: File): Promise<void> {
    return this.files.openFile(file);
  }

  saveFile(): void {
    void this.files.save();
  }

  #showView(view: { window: string; place: string; mode: string }): void {
    if (this.overview?.windows.some((w) => w.id === view.window)) this.windowId = view.window;
    if (view.mode === 'appearance' || view.mode === 'colour_true') this.setMode(view.mode);
    if (this.overview?.places.some((place) => place.name === view.place)) this.setPlace(view.place);
  }

  #sceneOpened(): void {
    this.#letGo();
    clearTimeout(this.#settle);
    this.selection.only(null);
    wallView.reset();
    this.section = null;
    this.notice = null;
    this.report = null;
    this.day = null;
    this.#dayOf = '';
    this.year.clear();
    const overview = this.#engine?.overview();
    this.windowId = overview?.windows[0]?.id ?? '';
    this.placeName = overview?.places[0]?.name ?? '';
    this.#documentChanged(true);
  }

  // ---- Edits ----------------------------------------------------------------------------------------------------

  edit(edit: Edit): boolean {
    this.commitHour();
    return this.#make(edit);
  }

  /** Does something with the variants, or shows another of them. */
  vary(action: Vary): boolean {
    this.commitHour();
    return this.#acting(
      (engine) => {
        const made = engine.vary(action);
        this.#follow(made);
        this.#documentChanged(!leavesLight(made));
      },
      (faults) => ({ title: 'This variant cannot be had', sentence: 'The scene is as it was.', faults }),
    );
  }

  step(which: 'undo' | 'redo'): void {
    this.commitHour();
    this.#acting((engine) => {
      const made = engine.step(which);
      if (made === undefined) return;
      this.#follow(made);
      this.#documentChanged(!leavesLight(made));
    });
  }

  #make(edit: Edit): boolean {
    return this.#acting(
      (engine) => {
        const made = engine.apply(edit);
        this.#follow(made);
        this.#documentChanged(!leavesLight(made));
      },
      (faults) => ({
        title: 'This change cannot be made',
        sentence: 'The scene is as it was.',
        faults,
      }),
    );
  }

  /** Shows what an edit would come to while it is still in the hand; the edit itself, or `endPreview`, follows. */
  preview(edit: Edit): void {
    const text = JSON.stringify(edit);
    this.#previewed = true;
    // One at a time: the next goes when the figures of this one have come.
    if (this.#previewing) this.#nextPreview = text;
    else this.#showPreview(text);
  }

  /** Nothing is in the hand any more: where no edit has come of it, the scene is shown as it is. */
  endPreview(): void {
    if (!this.#previewed || this.#engine === null) return;
    this.#letGo();
    this.#figures?.open(this.#engine.shownText());
    this.#driver?.forget();
    this.#askReport();
    // A day that is whole still holds.
    if (this.dayDone !== null) this.#askDay(true);
    this.year.follow(yearOf(this.civil.date), true);
    this.#drawAgain();
  }

  #showPreview(text: string): void {
    this.#previewing = true;
    this.#figures?.preview(text);
    this.#driver?.preview(text);
    this.#askReport();
    this.#drawAgain();
  }

  #previewAnswered(): void {
    const next = this.#nextPreview;
    this.#nextPreview = null;
    if (next !== null) this.#showPreview(next);
    else this.#previewing = false;
  }

  #letGo(): void {
    this.#previewed = false;
    this.#previewing = false;
    this.#nextPreview = null;
  }

  /** Brings the workers' copies of the scene in step. */
  #follow(made: string): void {
    this.#letGo();
    this.#figures?.apply(made);
    this.#driver?.follow(made, this.#engine?.revision ?? 0);
  }

  /** Everything that is shown of the document is asked for anew. */
  #documentChanged(lightThroughGlassChanged: boolean): void {
    const engine = this.#engine;
    if (engine === null) return;
    const placeIndex = this.overview?.places.findIndex((place) => place.name === this.placeName) ?? -1;
    this.overview = engine.overview();
    this.at = this.overview.at;
    this.canUndo = engine.canUndo();
    this.canRedo = engine.canRedo();
    this.undoWords = engine.undoWords();
    this.redoWords = engine.redoWords();
    const leftOut = this.overview.left_out;
    this.notice =
      leftOut.length > 0
        ? `No longer fits the scene and was taken out: ${leftOut.join('; ')}. Undo brings it back.`
        : null;
    this.surroundings = engine.surroundings();
    if (!this.overview.places.some((place) => place.name === this.placeName)) {
      // A place that has another name is the same place.
      this.placeName = (this.overview.places[placeIndex] ?? this.overview.places[0])?.name ?? '';
    }
    this.selection.keep(new Set(this.window?.pieces.map((piece) => piece.id)));
    this.#readSection();
    this.#askReport();
    this.#askDay(lightThroughGlassChanged);
    this.year.follow(yearOf(this.civil.date), lightThroughGlassChanged);
    this.#drawAgain();
  }

  // ---- Hour and date ---------------------------------------------------------------------------------------------

  /** Shows another hour without making it the scene's yet. */
  showMinute(minute: number): void {
    this.#showAt(writeCivil({ date: this.civil.date, minute: clampMinute(minute) }));
  }

  /** By a key: shown at once, the scene's when the keys are still. */
  stepMinutes(minutes: number): void {
    this.showMinute(Math.min(MINUTES_OF_DAY - 1, Math.max(0, this.civil.minute + minutes)));
    this.settleHour();
  }

  toSunrise(): void {
    this.showMinute(this.day?.sunrise ? minuteOf(this.day.sunrise) : 0);
    this.settleHour();
  }

  toSunset(): void {
    this.showMinute(this.day?.sunset ? minuteOf(this.day.sunset) : MINUTES_OF_DAY - 1);
    this.settleHour();
  }

  settleHour(): void {
    clearTimeout(this.#settle);
    this.#settle = setTimeout(() => this.commitHour(), HOUR_SETTLES_MS);
  }

  /** Makes the hour shown the scene's: one edit, however far it was dragged. */
  commitHour(): void {
    clearTimeout(this.#settle);
    if (this.overview !== null && this.at !== this.overview.at) this.#make({ edit: 'set_at', at: this.at });
  }

  setDate(date: string): void {
    if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || date === this.civil.date) return;
    this.#showAt(writeCivil({ date, minute: this.civil.minute }));
    this.commitHour();
  }

  /** Shows another date without making it the scene's yet. */
  showDate(date: string): void {
    this.#showAt(writeCivil({ date, minute: this.civil.minute }));
  }

  /** By a key: shown at once, the scene's when the keys are still. */
  stepDate(date: string): void {
    this.showDate(date);
    this.settleHour();
  }

  stepDays(days: number): void {
    this.setDate(addDays(this.civil.date, days));
  }

  stopDay(): void {
    this.#figures?.stopDay();
    this.dayDone = null;
    const reached = this.#dayParts.at(-1)?.minute;
    this.dayOldFrom = reached === undefined ? 0 : reached + 1;
  }

  /** Works out the day that was stopped. */
  resumeDay(): void {
    this.#askDay(true);
  }

  #showAt(at: string): void {
    if (at === this.at) return;
    this.at = at;
    this.#drawAgain();
    this.#askReport();
    // The layers are shown in the light of the hour; once a frame is often enough.
    cancelAnimationFrame(this.#frame);
    if (this.selected.length > 0) this.#frame = requestAnimationFrame(() => this.#readSection());
  }

  #askReport(): void {
    this.#figures?.wantReport(this.at, this.placeName);
  }

  #askDay(anew: boolean): void {
    const date = this.civil.date;
    if (!anew && date === this.#dayOf) return;
    this.#dayOf = date;
    this.#dayParts = [];
    this.dayDone = 0;
    this.dayOldFrom = null;
    this.#figures?.wantDay(date, this.placeName);
  }

  /** The picture has come, or none will soon: the figures' worker starts, which it would have had to share with. */
  #begin(): void {
    if (this.#figures !== null || this.#module === null || this.#engine === null) return;
    this.#figures = new FiguresClient(this.#module, this.#engine.shownText(), {
      report: (report, hour) => {
        this.report = report;
        this.reportAt = hour.at;
        this.reportFaults = [];
        this.#previewAnswered();
      },
      day: (part, done) => this.#takeDay(part, done),
      year: (part, done) => this.year.take(part, done),
      noYear: () => this.year.refused(),
      refused: (faults) => {
        this.reportFaults = faults;
        this.dayDone = null;
        this.#previewAnswered();
      },
      stopped: (why, again) => {
        this.#previewing = false;
        this.notice = again
          ? 'The figures had stopped and were started again from your scene; nothing is lost.'
          : `The figures stopped twice (${why}). Undo the last change, or choose another hour or place.`;
        if (!again) {
          this.dayDone = null;
          this.year.refused();
        }
      },
    });
    this.#askReport();
    if (this.#dayOf !== '') this.#askDay(true);
    this.year.follow(yearOf(this.civil.date), true);
  }

  /**
   * Parts come in the order of the day; beyond them the old day stays until its turn comes. The minutes of two days
   * need not agree: where the clocks change, a day has more or fewer.
   */
  #takeDay(part: Day, done: number): void {
    this.#dayParts.push(...part.instants);
    const reached = Math.max(...this.#dayParts.map((instant) => instant.minute));
    const old = done < 1 ? (this.day?.instants ?? []).filter((instant) => instant.minute > reached) : [];
    const instants = [...this.#dayParts, ...old].sort((a, b) => a.minute - b.minute);
    this.day = { ...part, instants };
    this.dayDone = done < 1 ? done : null;
  }

  // ---- Window, place, piece --------------------------------------------------------------------------------------

  setPlace(name: string): void {
    this.commitHour();
    this.placeName = name;
    this.#askReport();
    this.#askDay(true);
    this.year.follow(yearOf(this.civil.date), true);
    this.#drawAgain();
  }

  /** Where the sun goes on a date; null where nobody knows. */
  sunPath(date: string): SunPath | null {
    try {
      return this.#engine?.sunPath(date) ?? null;
    } catch (error) {
      if (error instanceof Trapped) void this.#rebuild();
      return null;
    }
  }

  setWindow(id: string): void {
    this.windowId = id;
    this.choose(null);
    wallView.reset();
    this.#drawAgain();
  }

  setMode(mode: PictureMode): void {
    this.mode = mode;
    this.#driver?.request();
  }

  setMark(mark: boolean): void {
    this.markUnshowable = mark;
    this.#driver?.request();
  }

  /** What a picture of the window is made from elsewhere; null before there is one. */
  source(): {
    module: WebAssembly.Module;
    text: string;
    name: string;
    window: string;
    place: string;
    at: string;
  } | null {
    if (this.#module === null || this.#engine === null || this.window === null) return null;
    return {
      module: this.#module,
      text: this.#engine.shownText(),
      name: plainName(this.overview?.name ?? ''),
      window: this.window.id,
      place: this.placeName,
      at: this.at,
    };
  }

  pieceAt(xMm: number, yMm: number): number | null {
    let found: number | null = null;
    this.#acting((engine) => {
      found = this.window === null ? null : (engine.pieceAt(this.window.id, xMm, yMm) ?? null);
    });
    return found;
  }

  /** This piece and no other; null lets all go. */
  choose(piece: number | null): void {
    this.selection.only(piece);
    this.#readSection();
  }

  /** Adds a piece to those chosen, or takes it away. */
  toggle(piece: number): void {
    this.selection.toggle(piece);
    this.#readSection();
  }

  /** These pieces and no others; with `add`, after those that are chosen already. */
  chooseMany(pieces: readonly number[], add = false): void {
    this.selection.many(pieces, add);
    this.#readSection();
  }

  /** The chosen piece and all pieces of its glass, or of its colour in the light of the scene's hour. */
  chooseLike(what: 'glass' | 'colour', deltaE: number = ALIKE_DELTA_E): void {
    const { chosen, window } = this;
    if (chosen === null || window === null) return;
    this.#acting((engine) => {
      const found = engine.piecesLike(window.id, chosen, what, deltaE);
      this.chooseMany([...found.filter((id) => id !== chosen), chosen]);
    });
  }

  /** The pieces inside a closed outline, mm with y down; with `add`, after those that are chosen already. */
  chooseInside(outline: readonly Point[], add = false): void {
    const { window } = this;
    if (window === null) return;
    this.#acting((engine) => this.chooseMany(engine.piecesInside(window.id, outline), add));
  }

  #readSection(): void {
    cancelAnimationFrame(this.#frame);
    if (this.selected.length === 0 || this.window === null) {
      this.section = null;
      return;
    }
    const [window, pieces, at] = [this.window.id, this.selected, this.at];
    this.#acting((engine) => {
      this.section = engine.section(window, pieces, at);
    });
  }

  /** Every glass at a thickness, in the light of the hour shown. */
  glassesAt(thicknessMm: number): GlassFamily[] {
    // Read so that what derives from this follows every change of the scene.
    void this.overview;
    let families: GlassFamily[] = [];
    const at = this.at;
    this.#acting((engine) => {
      families = engine.glasses(at, thicknessMm);
    });
    return families;
  }

  // ---- What pieces are made of -----------------------------------------------------------------------------------

  /** Changes the chosen pieces in one edit. Returns what it came to; null where nothing changed. */
  change(change: Change): Changed | null {
    const [window, pieces] = [this.window, this.selected];
    if (window === null || pieces.length === 0) return null;
    return this.#making((engine) => engine.change(window.id, pieces, change));
  }

  /** Puts another glass wherever a glass is, in one window or in all, in one edit. */
  replaceGlass(from: string, to: string, window: string | null): Changed | null {
    return this.#making((engine) => engine.replaceGlass(from, to, window));
  }

  piecesWithGlass(glass: string, window: string | null): number {
    void this.overview;
    let count = 0;
    this.#acting((engine) => {
      count = engine.piecesWithGlass(glass, window);
    });
    return count;
  }

  #making(work: (engine: PageEngine) => Changed | null): Changed | null {
    let changed: Changed | null = null;
    this.#acting(
      (engine) => {
        changed = work(engine);
      },
      (faults) => ({ title: 'This change cannot be made', sentence: 'The scene is as it was.', faults }),
    );
    // What the closure has set, the compiler does not see.
    const found = changed as Changed | null;
    return found !== null && this.edit(found.edit) ? found : null;
  }

  // ---- Picture ---------------------------------------------------------------------------------------------------

  /** Draws on a canvas element from now on. Returns what to call when the element goes. */
  attach(canvas: HTMLCanvasElement): () => void {
    let gone = false;
    const module = this.#module;
    if (module === null) return () => undefined;
    const events: DrawingEvents = {
      shown: () => {
        if (this.lit) return;
        // How long it took is measured by `cargo xtask bench`.
        performance.mark('first lit picture');
        this.lit = true;
        this.#begin();
      },
      drawn: (at) => {
        this.#pictureFailures = 0;
        this.#drawnByCard ||= !this.#slow;
        if (this.picture.state !== 'drawing') this.#drawing();
        events.shown();
        const { dataset } = document.documentElement;
        dataset['lit'] = 'yes';
        dataset['drawn'] = at;
      },
      lost: (cause) => {
        if (!gone) this.#anotherPicture(cause);
      },
      failed: (cause) => {
        this.picture = { state: 'refused', why: messageOf(cause) };
        this.#begin();
      },
    };
    let own: Drawer | null = null;
    const begun = (driver: Drawer): void => {
      own = driver;
      this.#driver = driver;
      this.#drawing();
      driver.request();
    };
    const text = (): string => this.#engine?.shownText() ?? '';
    const failed = (error: unknown): void => {
      this.picture = { state: 'failed', why: messageOf(error) };
      this.#begin();
    };
    if (this.#slow) {
      try {
        begun(new SoftwareDriver(module, canvas, text, () => this.#wanted(), events));
      } catch (error) {
        failed(error);
      }
    } else {
      const prefer = new URLSearchParams(location.search).get('gpu') ?? '';
      const early = this.#scene.then(() => this.#engine?.revision ?? 0);
      PictureDriver.attach(module, canvas, prefer, text, early, () => this.#wanted(), events).then(
        (driver) => {
          if (gone) driver?.close();
          else if (driver !== null) begun(driver);
          else if (this.#drawnByCard && this.#pictureFailures < PICTURES_BEFORE_GIVING_UP) {
            // A card that is there comes back when its driver has.
            this.#pictureFailures += 1;
            setTimeout(() => (this.canvas += 1), CARD_COMES_BACK_MS);
          } else {
            // A canvas that was asked for a graphics card gives nothing else: another one.
            this.#slow = true;
            this.canvas += 1;
          }
        },
        (error: unknown) => {
          if (!gone) failed(error);
        },
      );
    }
    return () => {
      gone = true;
      own?.close();
      if (this.#driver === own) this.#driver = null;
    };
  }

  #drawing(): void {
    if (this.#driver !== null)
      this.picture = {
        state: 'drawing',
        backend: this.#driver.backend(),
        gamut: this.#driver.gamut(),
        slow: this.#slow,
      };
  }

  /** The part of the window that the canvas shows. */
  setView(view: View): void {
    this.#view = view;
    this.#driver?.request();
  }

  #wanted(): Wanted | null {
    if (this.#engine === null || this.#view === null || this.window === null) return null;
    return {
      ...this.#view,
      revision: this.#engine.revision,
      window: this.window.id,
      place: this.placeName,
      at: this.at,
      mode: this.mode,
      markUnshowable: this.markUnshowable,
    };
  }

  #anotherPicture(cause: unknown): void {
    this.#driver?.close();
    this.#driver = null;
    this.#pictureFailures += 1;
    if (this.#pictureFailures >= PICTURES_BEFORE_GIVING_UP) {
      if (this.#slow) {
        this.picture = { state: 'failed', why: messageOf(cause) };
        this.#begin();
        return;
      }
      // A graphics card that is lost again and again is none.
      this.#slow = true;
      this.#pictureFailures = 0;
    }
    this.picture = { state: 'starting' };
    this.canvas += 1;
  }

  /** What is shown has changed: a picture that had stopped over what it was gets another try. */
  #drawAgain(): void {
    if (this.picture.state === 'failed') this.retryPicture();
    else this.#driver?.request();
  }

  /** Tries the picture again by hand. */
  retryPicture(): void {
    this.#pictureFailures = 0;
    this.#slow = false;
    this.picture = { state: 'starting' };
    this.canvas += 1;
  }

  // ---- Traps -----------------------------------------------------------------------------------------------------

  #acting(action: (engine: PageEngine) => void, listed?: (faults: Fault[]) => FaultList): boolean {
    if (this.#engine === null || this.#rebuilding) return false;
    try {
      action(this.#engine);
      return true;
    } catch (error) {
      if (error instanceof SceneFaults) {
        this.faults = listed?.(error.faults) ?? {
          title: 'This cannot be done',
          sentence: 'The scene is as it was.',
          faults: error.faults,
        };
      } else if (error instanceof Trapped) {
        void this.#rebuild();
      } else {
        throw error;
      }
      return false;
    }
  }

  async #rebuild(): Promise<void> {
    if (this.#engine === null || this.#rebuilding) return;
    this.#rebuilding = true;
    try {
      await this.#engine.rebuild();
      this.#rebuilding = false;
      this.#documentChanged(false);
      this.notice = 'That last action stopped the page’s engine. It was built again from your scene and its edits.';
    } catch (error) {
      this.broken = messageOf(error);
    } finally {
      this.#rebuilding = false;
    }
  }
}

/** Whether a day or a year worked out before the edit still holds after it. */
function leavesLight(made: string): boolean {
  const { edit, edits } = JSON.parse(made) as { edit: string; edits?: unknown[] };
  return (
    ['set_at', 'set_name', 'set_note', 'set_viewer'].includes(edit) || (edit === 'together' && edits?.length === 0)
  );
}

export const studio = new Studio();
