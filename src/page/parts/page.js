'use strict';
(() => {
  const main = document.querySelector('main');
  const movie = document.getElementById('movie');
  const scroll = document.querySelector('.scroll');
  const lanes = document.querySelector('.lanes');
  const playhead = document.getElementById('playhead');
  const glance = document.getElementById('glance'); // stands in for the preview
  const now = document.getElementById('now');
  const play = document.getElementById('play');
  const [num, den] = (main.dataset.rate + '/1').split('/').map(Number);
  const rate = num / den;
  const frames = Number(main.dataset.frames);
  const start = Number(main.dataset.start);
  const drop = main.dataset.drop === '1';
  const calm = matchMedia('(prefers-reduced-motion: reduce)');

  const blocks = [...document.querySelectorAll('#shots button')];
  const shots = blocks.map((block, n) => ({
    block, card: document.getElementById('shot-' + (n + 1)), in: Number(block.dataset.in), out: Number(block.dataset.out),
  }));
  const hits = blocks.flatMap(block => block.dataset.hits.split(' ').filter(Boolean).map(Number)).sort((a, b) => a - b);
  let at = 0;       // record frame that is shown
  let current = -1; // shot that it lies in
  let held = 0;     // shot that has the keyboard

  const clampFrame = frame => Math.max(0, Math.min(frames - 1, frame));
  const shotAt = frame => Math.max(0, shots.findIndex(shot => frame < shot.out));

  // SMPTE ST 12-1; drop frame leaves out labels, two (or four) a minute but the tenth.
  function label(frame) {
    const base = Math.round(rate);
    if (drop) {
      const left = base / 15, minute = base * 60 - left, ten = minute * 10 + left;
      const tens = Math.floor(frame / ten), rest = frame % ten;
      frame += left * 9 * tens + (rest < base * 60 ? 0 : left * (1 + Math.floor((rest - base * 60) / minute)));
    }
    const two = value => String(value).padStart(2, '0');
    const seconds = Math.floor(frame / base);
    return [Math.floor(seconds / 3600) % 24, Math.floor(seconds / 60) % 60, seconds % 60].map(two).join(':') + (drop ? ';' : ':') +
      two(frame % base);
  }

  function mark(shot, on) {
    if (!shot) return;
    for (const part of [shot.block, shot.card])
      if (on) part.setAttribute('aria-current', 'true');
      else part.removeAttribute('aria-current');
  }

  function keepInView(x) {
    const left = scroll.scrollLeft, wide = scroll.clientWidth;
    if (x >= left + .05 * wide && x <= left + .9 * wide) return;
    scroll.scrollTo({left: x - .1 * wide, behavior: calm.matches ? 'auto' : 'smooth'});
  }

  function show(frame) {
    at = clampFrame(frame);
    const next = shotAt(at);
    if (next !== current) {
      mark(shots[current], false);
      mark(shots[next], true);
      current = next;
      if (glance) glance.replaceChildren(shots[next].card.querySelector('h3').cloneNode(true), shots[next].card.querySelector('.stills').cloneNode(true));
    }
    const share = (at + .5) / frames;
    playhead.hidden = false;
    playhead.style.left = 100 * share + '%';
    keepInView(share * lanes.clientWidth);
    if (now) now.textContent = label(start + at) + '  shot ' + (current + 1) + ' of ' + shots.length;
  }

  // To the middle of the frame, so that no rounding shows its neighbour.
  function seek(frame, run) {
    show(frame);
    if (!movie) return;
    movie.currentTime = (at + .5) * den / num;
    if (run) movie.play().catch(() => {});
    else movie.pause();
  }

  // The keyboard goes to that shot, and with it the one stop that Tab makes among them.
  function hold(n) {
    blocks[held].tabIndex = -1;
    blocks[n].tabIndex = 0;
    held = n;
  }

  function toShot(n, run) {
    n = Math.max(0, Math.min(shots.length - 1, n));
    hold(n);
    seek(shots[n].in, run);
  }

  function toFrame(frame) {
    hold(shotAt(frame));
    seek(frame, false);
  }

  function toHit(step) {
    const next = step > 0 ? hits.find(frame => frame > at) : hits.filter(frame => frame < at).pop();
    if (next !== undefined) toFrame(next);
  }

  function toggle() {
    if (!movie) return;
    if (movie.paused) movie.play().catch(() => {});
    else movie.pause();
  }

  // Into view: the preview, or without one the shot's card.
  function bring() {
    (movie || shots[current].card).scrollIntoView({block: 'nearest', behavior: calm.matches ? 'auto' : 'smooth'});
  }

  const toolbar = document.getElementById('shots');
  toolbar.addEventListener('keydown', event => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const moves = {
      // From the shot that is shown: while it plays the keyboard may be on an earlier one.
      ArrowRight: () => toShot(current + 1, true), ArrowLeft: () => toShot(current - 1, true),
      Home: () => toShot(0, true), End: () => toShot(shots.length - 1, true),
      ArrowDown: () => toHit(1), ArrowUp: () => toHit(-1), ' ': toggle,
    };
    const move = moves[event.key];
    if (!move) return;
    event.preventDefault();
    move();
    blocks[held].focus({preventScroll: true});
  });
  blocks.forEach((block, n) => block.addEventListener('click', () => toShot(n, true)));
  for (const button of document.querySelectorAll('.from'))
    button.addEventListener('click', () => {
      toShot(Number(button.dataset.shot) - 1, true);
      bring();
    });
  for (const button of document.querySelectorAll('[data-at]'))
    button.addEventListener('click', () => {
      toFrame(Number(button.dataset.at));
      bring();
    });

  const zoom = document.getElementById('zoom');
  const bars = document.querySelectorAll('.ruler span').length;
  const widen = () => {
    lanes.style.setProperty('--px', zoom.value);
    lanes.classList.toggle('dense', lanes.clientWidth < 13 * bars); // too little room for the number of every other bar
  };
  addEventListener('resize', widen);
  zoom.addEventListener('input', widen);
  widen();

  if (movie) {
    const press = (id, action) => document.getElementById(id).addEventListener('click', action);
    press('play', toggle);
    press('shot-before', () => toShot(current - 1, !movie.paused));
    press('shot-after', () => toShot(current + 1, !movie.paused));
    press('hit-before', () => toHit(-1));
    press('hit-after', () => toHit(1));
    const follow = () => {
      show(Math.floor(movie.currentTime * rate + 1e-6));
      if (!movie.paused && !movie.ended) requestAnimationFrame(follow);
    };
    movie.addEventListener('play', () => { play.textContent = 'Pause'; requestAnimationFrame(follow); });
    movie.addEventListener('pause', () => { play.textContent = 'Play'; });
    movie.addEventListener('click', toggle);
    movie.addEventListener('error', () => { document.getElementById('broken').hidden = false; });
  }
  // Paper cannot be unfolded.
  addEventListener('beforeprint', () => { for (const folded of document.querySelectorAll('details')) folded.open = true; });

  show(0);
  document.documentElement.dataset.ready = 'true';
})();
