// Takes scene files with attachments apart, packs them, and hashes what is attached: in a module of its own, which is
// fetched only when there is such a file.
import init, * as archive from '../pkg/archive/archive.js';
import { bytesOf } from './file-bytes';
import type { ArchiveCalls, SetAttachment } from './messages';
import { serveWith } from './worker-serve';

async function start(module: WebAssembly.Module): Promise<typeof archive> {
  await init({ module_or_path: module });
  return archive;
}

serveWith<ArchiveCalls, typeof archive>(start, (glue) => ({
  unpack: async (file, reply) => {
    reply.progress('reading');
    const bytes = await bytesOf(file, glue.most_file_bytes(), 'a scene file');
    reply.progress('unpacking');
    const opened = glue.Package.open(bytes);
    const contents = opened.hashes().map((hash) => ({ hash, content: blobOf(opened.take(hash)) }));
    reply.answer({ text: opened.text(), contents });
    opened.free();
  },
  pack: async ({ text, contents }, reply) => {
    const packing = new glue.Package(text);
    for (const { hash, content } of contents) packing.put(hash, new Uint8Array(await content.arrayBuffer()));
    reply.answer(new Blob([packing.pack() as Uint8Array<ArrayBuffer>], { type: 'application/zip' }));
    packing.free();
  },
  attach: async ({ file, kind }, reply) => {
    const bytes = await bytesOf(file, glue.most_attachment_bytes(), 'a file');
    const edit = JSON.parse(glue.attachment(bytes, file.name, kind, '')) as SetAttachment;
    // The bytes that were hashed: the file itself may change on the disk.
    reply.answer({ edit, content: new Blob([bytes]) });
  },
}));

const blobOf = (bytes: Uint8Array | undefined): Blob => new Blob([(bytes ?? []) as Uint8Array<ArrayBuffer>]);
