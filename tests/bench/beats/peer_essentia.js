// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Essentia's RhythmExtractor2013, multifeature, as the npm package essentia.js carries it. Wants 44.1 kHz.
// Usage: node peer_essentia.js FOLDER_WITH_NODE_MODULES SONG.wav (16 bit PCM)
const fs = require('fs');
const path = require('path');
const home = path.join(path.resolve(process.argv[2]), 'node_modules', 'essentia.js', 'dist');
const EssentiaWASM = require(path.join(home, 'essentia-wasm.umd.js'));
const Essentia = require(path.join(home, 'essentia.js-core.umd.js'));

const data = fs.readFileSync(process.argv[3]);
let channels = 0, rate = 0, samples = null;
for (let at = 12; at + 8 <= data.length;) {
  const kind = data.toString('latin1', at, at + 4), size = Math.min(data.readUInt32LE(at + 4), data.length - at - 8);
  if (kind === 'fmt ') {
    channels = data.readUInt16LE(at + 10);
    rate = data.readUInt32LE(at + 12);
  } else if (kind === 'data') {
    const frames = Math.floor(size / (2 * channels));
    samples = new Float32Array(frames);
    for (let i = 0; i < frames; ++i)
      for (let c = 0; c < channels; ++c)
        samples[i] += data.readInt16LE(at + 8 + 2 * (i * channels + c)) / 32768 / channels;
  }
  at += 8 + size + size % 2;
}
if (!samples || rate !== 44100) {
  console.error(`${process.argv[3]}: expected 16 bit PCM at 44100 Hz`);
  process.exit(3);
}
const essentia = new Essentia(EssentiaWASM);
const found = essentia.RhythmExtractor2013(essentia.arrayToVector(samples), 208, 'multifeature', 40);
for (const t of essentia.vectorToArray(found.ticks)) console.log(`${t.toFixed(6)}\t0`);
process.exit(0);
