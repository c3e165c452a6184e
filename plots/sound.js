// SPDX-License-Identifier: MIT
// A knock for each contact with the seat, at its instant, as strong as its blow against the static
// seat load. Silent until asked for. How a valve sounds is not computed: only when, and how hard.
"use strict";

const makeSound = () => {
    let context = null, noise = null;
    const on = () => {
        context = context || new AudioContext();
        context.resume();
        if (!noise) {
            const length = Math.round(context.sampleRate * 0.06);
            noise = context.createBuffer(1, length, context.sampleRate);
            const all = noise.getChannelData(0);
            for (let i = 0, seed = 1; i < length; i++) {
                seed = seed * 16807 % 2147483647; // the same knock every time
                all[i] = (seed / 1073741824 - 1) * Math.exp(-i / length * 7);
            }
        }
    };
    const off = () => { if (context) context.suspend(); };
    // A touch is heard too; ten times the blow is about three times as loud.
    const loudness = (ratio) => Math.min(1, 0.15 + 0.6 * Math.sqrt(Math.max(0, ratio)));
    // A blow `ratio` times the seat load, in so many seconds; the sides differ in pitch.
    const knock = (side, ratio, wait) => {
        if (!running()) return;
        const at = context.currentTime + Math.max(0, wait);
        const source = context.createBufferSource(), tone = context.createBiquadFilter();
        const gain = context.createGain();
        source.buffer = noise;
        tone.type = "bandpass"; tone.frequency.value = side ? 1400 : 500; tone.Q.value = 1.2;
        gain.gain.value = loudness(ratio);
        source.connect(tone).connect(gain).connect(context.destination);
        source.start(at);
    };
    const running = () => context !== null && context.state === "running";
    return { on, off, knock, loudness, running };
};
