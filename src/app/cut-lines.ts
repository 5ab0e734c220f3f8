// Cuts a chunk where its lines begin and end, so that what is read and what is unreadable go into the
// journal in the order in which they came, however the bytes were cut. Called by the recorder.

const COLON = 0x3a;
const LINE_FEED = 0x0a;

/**
 * Pieces that each end at most one line: whatever is unreadable in one came before its message.
 *
 * @param bytes - a chunk as it came
 * @returns views of the chunk, in order; together they are the chunk
 */
export function cutLines(bytes: Uint8Array): readonly Uint8Array[] {
  const pieces: Uint8Array[] = [];
  let from = 0;
  for (let i = 1; i < bytes.length; i += 1) {
    if (bytes[i] !== COLON && bytes[i - 1] !== LINE_FEED) continue;
    pieces.push(bytes.subarray(from, i));
    from = i;
  }
  if (from < bytes.length) pieces.push(bytes.subarray(from));
  return pieces;
}
