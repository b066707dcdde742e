// Saves the scene to a file: where the user chooses, or as a download where the browser has no file picker.
import { pack } from '../engine/archive';
import { SceneFaults, messageOf } from '../engine/faults';
import { attachments } from './attachments.svelte';
import { autosave } from './autosave.svelte';
import { contents } from './contents';
import { download, plainName } from './download';
import type { Place } from './kept';
import { notices } from './notices.svelte';
import { scene } from './scene.svelte';

interface Writable {
  write(content: string | Blob): Promise<void>;
  close(): Promise<void>;
}

interface FileHandle {
  readonly name: string;
  createWritable(): Promise<Writable>;
}

type SavePicker = (options: {
  suggestedName: string;
  types: { description: string; accept: Record<string, string[]> }[];
}) => Promise<FileHandle>;

interface Form {
  type: string;
  extension: string;
  description: string;
}

const JSON_FORM: Form = { type: 'application/json', extension: '.json', description: 'Clerestory scene' };
const ZIP_FORM: Form = {
  type: 'application/zip',
  extension: '.zip',
  description: 'Clerestory scene with attachments',
};

/** A complete scene file, and the point of the scene's history that it holds. */
interface Packed {
  content: string | Blob;
  form: Form;
  sceneName: string;
  suggestedName: string;
  place: Place | null;
  /** Hashes of its attachments. */
  hashes: readonly string[];
}

const isNamed = (error: unknown, ...names: string[]): boolean =>
  error instanceof DOMException && names.includes(error.name);

class SaveScene {
  /** Name of the file to which Save writes without asking. */
  savesTo = $state<string | null>(null);
  /** Name of the file that is being saved. */
  saving = $state<string | null>(null);

  #handle: FileHandle | null = null;
  /** Which form that file has. */
  #form: Form = JSON_FORM;

  /** The next save asks where to. */
  forget(): void {
    this.#handle = null;
    this.savesTo = null;
  }

  /**
   * Saves the scene as it is now, whatever is opened or changed meanwhile. The file is complete before the browser asks
   * where to save it: choosing an existing file empties it. `text`: the scene; `another`: ask even if there is a file.
   */
  async save(text: string, another: boolean): Promise<void> {
    const form = attachments.list.length > 0 ? ZIP_FORM : JSON_FORM;
    const sceneName = scene.overview?.name ?? '';
    const suggestedName = `${plainName(sceneName)}${form.extension}`;
    const [place, hashes] = [autosave.place, attachments.list.map((one) => one.hash)];
    await this.#alone(suggestedName, async () => {
      const content = form === ZIP_FORM ? await pack(text, await attachments.contents()) : text;
      await this.#write({ content, form, sceneName, suggestedName, place, hashes }, another);
    });
  }

  /** One save at a time. */
  async #alone(name: string, work: () => Promise<void>): Promise<void> {
    if (this.saving !== null) return;
    this.saving = name;
    try {
      await work();
    } catch (error) {
      // The user cancelled the browser's dialog.
      if (isNamed(error, 'AbortError')) return;
      this.forget();
      notices.faults = {
        title: 'The scene was not saved',
        sentence: 'It is still on the page. Save it again, in another place if this one cannot be written.',
        faults:
          error instanceof SceneFaults
            ? error.faults
            : [{ path: name, expected: 'a file that can be written', found: messageOf(error) }],
      };
    } finally {
      this.saving = null;
    }
  }

  async #write(packed: Packed, another: boolean): Promise<void> {
    const { content, form, suggestedName, place, hashes } = packed;
    const picker = (window as { showSaveFilePicker?: SavePicker }).showSaveFilePicker;
    if (picker === undefined) {
      download(content, form.type, suggestedName);
    } else {
      // A file of the other form would have the wrong name.
      const known = another || form !== this.#form ? null : this.#handle;
      let [handle, writable]: [FileHandle | null, Writable | null] = [known, null];
      try {
        const types = [{ description: form.description, accept: { [form.type]: [form.extension] } }];
        handle ??= await picker.call(window, { suggestedName, types });
        if (known !== null) writable = await known.createWritable();
      } catch (error) {
        // Packing took longer than the browser lets a page act on a key or a click.
        if (!isNamed(error, 'SecurityError', 'NotAllowedError')) throw error;
        this.#offer(packed);
        return;
      }
      writable ??= await handle.createWritable();
      await writable.write(content);
      await writable.close();
      if (autosave.id === place?.id) [this.#handle, this.#form, this.savesTo] = [handle, form, handle.name];
    }
    contents.filed(hashes);
    autosave.filed(place);
  }

  /** Asks for a click, which lets the browser ask where to save. */
  #offer(packed: Packed): void {
    notices.line = null;
    autosave.line = {
      words: `“${packed.sceneName}” is ready to be saved.`,
      actions: [
        {
          label: 'Save now',
          act: () => void this.#alone(packed.suggestedName, () => this.#write(packed, true)),
        },
      ],
    };
  }
}

export const saveScene = new SaveScene();
