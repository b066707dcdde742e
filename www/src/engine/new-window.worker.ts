// Reads drawings, draws openings and makes scenes of them, in a module of its own, which is fetched only for a new window.
import init, * as newWindow from '../pkg/new_window/new_window.js';
import type { CheckedDrawing, CheckedLines, CheckedOpening } from './contract';
import { textOf } from './file-bytes';
import type { NewWindowCalls } from './messages';
import { serveWith } from './worker-serve';

async function start(module: WebAssembly.Module): Promise<typeof newWindow> {
  await init({ module_or_path: module });
  return newWindow;
}

serveWith<NewWindowCalls, typeof newWindow>(start, (glue) => {
  const read = async (file: File): Promise<string> => {
    glue.refuse_picture_file(new Uint8Array(await file.slice(0, 16).arrayBuffer()));
    return textOf(file, glue.most_drawing_bytes(), 'a drawing');
  };
  return {
    lines: ({ text, window, withinMm }, reply) => {
      reply.answer(JSON.parse(glue.check_window_lines(text, window, withinMm)) as CheckedLines);
    },
    check: async ({ file, options }, reply) => {
      reply.answer(JSON.parse(glue.check_drawing(await read(file), JSON.stringify(options))) as CheckedDrawing);
    },
    widths: async ({ file, options }, reply) => {
      const widths = glue.widths_of_drawing(await read(file), JSON.stringify(options));
      reply.answer(JSON.parse(widths) as [number, number]);
    },
    scene: async ({ file, options, start }, reply) => {
      reply.answer(glue.scene_of_drawing(await read(file), JSON.stringify(options), JSON.stringify(start)));
    },
    checkOpening: (measurements, reply) => {
      reply.answer(JSON.parse(glue.check_measurements(JSON.stringify(measurements))) as CheckedOpening);
    },
    sceneOfOpening: ({ measurements, start }, reply) => {
      reply.answer(glue.scene_of_measurements(JSON.stringify(measurements), JSON.stringify(start)));
    },
  };
});
