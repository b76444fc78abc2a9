'use strict';
(() => {
  const ends = 0.03;  // seconds in which a tone comes and goes
  let context = null;
  const sounding = () => context || (context = new AudioContext());

  // A soft tone: four partials, exact multiples of its frequency, in tune with nothing but itself.
  const tone = (audio, hz, at, length) => {
    const shape = audio.createPeriodicWave(new Float32Array([0, 0, 0, 0, 0]), new Float32Array([0, 1, 0.35, 0.15, 0.05]));
    const source = audio.createOscillator(), level = audio.createGain();
    source.setPeriodicWave(shape);
    source.frequency.value = hz;
    fade(level, at, length, 0.3);
    source.connect(level).connect(audio.destination);
    source.start(at);
    source.stop(at + length);
    return source;
  };
  const fade = (level, at, length, loud) => {
    level.gain.setValueAtTime(0, at);
    level.gain.linearRampToValueAtTime(loud, at + ends);
    level.gain.setValueAtTime(loud, at + length - ends);
    level.gain.linearRampToValueAtTime(0, at + length);
  };
  const sung = (audio, recording, from, at, length) => {
    const source = audio.createBufferSource(), level = audio.createGain();
    source.buffer = recording;
    fade(level, at, length, 1);
    source.connect(level).connect(audio.destination);
    source.start(at, from, length);
    return source;
  };

  const number = (row, name) => Number.parseFloat(row.dataset[name]);

  let heard = null;  // one thing sounds at a time
  class Player {
    constructor(box) {
      this.box = box;
      this.playing = [];
      this.said = box.querySelector('output');
      box.querySelectorAll('button').forEach(button => button.addEventListener('click', () => this[button.dataset.do]()));
      box.addEventListener('keydown', event => this.key(event));
    }
    mark(ids) {
      const prefix = this.box.dataset.prefix;
      for (const old of document.querySelectorAll('[data-chosen="' + prefix + '"]')) old.removeAttribute('data-chosen');
      for (const id of ids) document.getElementById(id)?.setAttribute('data-chosen', prefix);
    }
    previous() { this.choose(this.place - 1, true); }
    next() { this.choose(this.place + 1, true); }
    key(event) {
      if (event.target.tagName === 'INPUT' || event.target.tagName === 'SELECT') return;
      const step = {ArrowLeft: -1, ArrowRight: 1}[event.key];
      if (!step) return;
      event.preventDefault();
      this.choose(this.place + step, true);
    }
    say(words) { this.said.textContent = words; }
    stop() {
      this.playing.forEach(source => { try { source.stop(); } catch { /* it has ended */ } });
      this.playing = [];
    }
    start(make) {
      heard?.stop();
      heard = this;
      const audio = sounding();
      audio.resume();
      this.playing = make(audio, audio.currentTime + 0.05);
    }
  }

  const recordings = new Map();  // what the reader has opened, by take

  // The notes of a take, or of several.
  class Controls extends Player {
    constructor(box) {
      super(box);
      const prefix = box.dataset.prefix;
      this.rows = [...document.querySelectorAll('tr[id^="' + prefix + 'row-"][data-own-hz]')];
      this.inputs = [...box.querySelectorAll('input')];
      this.inputs.forEach(input => input.addEventListener('change', () => this.open(input)));
      this.rows.forEach((row, place) => {
        row.addEventListener('click', () => this.choose(place, true));
        const drawn = document.getElementById(row.id.replace('row-', 'note-'));
        if (drawn) drawn.addEventListener('click', () => this.choose(place, true));
      });
      box.hidden = false;
      this.choose(0, false);
    }
    get row() { return this.rows[this.place]; }
    take(element) { return element.dataset.take ?? this.box.dataset.prefix; }
    get recording() { return recordings.get(this.take(this.row)) ?? null; }
    choose(place, play) {
      this.place = (place + this.rows.length) % this.rows.length;
      this.mark([this.row.id, this.row.id.replace('row-', 'note-')]);
      this.say(this.row.dataset.name);
      this.ready();
      if (play) this.written();
    }
    get hz() { return number(this.row, this.box.querySelector('select').value); }
    get length() { return Math.min(2, Math.max(0.8, number(this.row, 'endS') - number(this.row, 'onsetS'))); }
    written() { this.start((audio, at) => [tone(audio, this.hz, at, this.length)]); }
    sung(audio, at) {
      const from = number(this.row, 'onsetS');
      return sung(audio, this.recording, from, at, Math.max(0.1, number(this.row, 'endS') - from));
    }
    own() { if (this.recording) this.start((audio, at) => [this.sung(audio, at)]); }
    both() {
      if (this.recording)
        this.start((audio, at) => [tone(audio, this.hz, at, this.length), this.sung(audio, at + this.length + 0.15)]);
    }
    async open(input) {
      if (!input.files[0]) return;
      const take = this.take(input);
      recordings.delete(take);
      try {
        const decoder = new OfflineAudioContext(1, 1, 48000);  // sounds nothing, so it needs no leave to
        const recording = await decoder.decodeAudioData(await input.files[0].arrayBuffer());
        recordings.set(take, recording);
        const ends = this.rows.filter(row => this.take(row) === take).map(row => number(row, 'endS'));
        this.say(Math.max(...ends) > recording.duration + 0.1
          ? 'This recording is shorter than the take: is it the right one?' : 'Your recording is ready.');
      } catch {
        this.say('This browser cannot play that file.');
      }
      for (const each of controls) {  // the same take may be heard from several places of a page
        for (const other of each.inputs) if (each.take(other) === take) other.files = input.files;
        each.ready();
      }
    }
    // Which buttons can be used; the keys go on working where one of them is shut while it has the focus.
    ready() {
      for (const name of ['own', 'both']) {
        const button = this.box.querySelector('[data-do=' + name + ']');
        if (!this.recording) if (button === document.activeElement) this.box.querySelector('[data-do=written]').focus();
        button.disabled = !this.recording;
      }
    }
  }

  // The notes of a drill, one by one or all in time.
  class Drill extends Player {
    constructor(box) {
      super(box);
      this.notes = [...document.querySelectorAll('[id^="' + box.dataset.prefix + 'note-"]')];
      this.notes.forEach((note, place) => note.addEventListener('click', () => this.choose(place, true)));
      box.hidden = false;
      this.choose(0, false);
    }
    get seconds() {
      const last = this.notes[this.notes.length - 1];
      return number(last, 'fromS') + number(last, 'lengthS');
    }
    choose(place, play) {
      this.place = (place + this.notes.length) % this.notes.length;
      const note = this.notes[this.place];
      this.mark([note.id]);
      this.say(note.dataset.name);
      if (play) this.start((audio, at) => [tone(audio, number(note, 'hz'), at, 1.5)]);
    }
    play(audio, at) {
      return this.notes.map(note => tone(audio, number(note, 'hz'), at + number(note, 'fromS'), number(note, 'lengthS')));
    }
    whole() { this.start((audio, at) => this.play(audio, at)); }
  }
  const controls = [...document.querySelectorAll('.sound')].map(box => new Controls(box));
  const drills = [...document.querySelectorAll('.drill')].map(box => new Drill(box));
  window.firmus = {tone, sung, controls, drills};
})();
