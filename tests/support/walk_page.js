// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Walks a review page as somebody with a keyboard would, in Chromium without a window, and prints as JSON what it saw.
//   node walk_page.js PAGE.html [look]      look: opens it only, and says what stands there
'use strict';
const {chromium} = require('playwright-core');
const axe = require('axe-core');

// The row of squares that the sample's pictures bear (samples/strip.h), as it lies in 640 x 360.
const STRIP = {x: 10, y: 346, square: 8, bits: 25};

async function open(browser, page, options) {
  const context = await browser.newContext({viewport: {width: 1280, height: 900}, ...options});
  const tab = await context.newPage();
  const seen = {errors: [], requests: [], scrolls: []};
  tab.on('pageerror', error => seen.errors.push(error.message));
  tab.on('console', message => { if (message.type() === 'error') seen.errors.push(message.text()); });
  tab.on('dialog', dialog => { seen.errors.push('a dialog: ' + dialog.message()); dialog.dismiss(); });
  tab.on('request', request => { if (!request.url().startsWith('data:')) seen.requests.push(request.url()); });
  await tab.addInitScript(() => {
    window.scrolls = [];
    const scrollTo = Element.prototype.scrollTo;
    Element.prototype.scrollTo = function (where) { window.scrolls.push(where.behavior); return scrollTo.call(this, where); };
    new MutationObserver((_, observer) => {
      if (!document.documentElement.dataset.ready) return;
      observer.disconnect();
      window.readyMs = performance.now();
    }).observe(document, {subtree: true, childList: true, attributes: true, attributeFilter: ['data-ready']});
  });
  await tab.goto('file://' + page);
  await tab.waitForFunction(() => window.readyMs !== undefined);
  seen.ready_ms = await tab.evaluate(() => window.readyMs);
  return {tab, seen, context};
}

// What axe-core finds that is serious or worse.
async function faults(tab) {
  await tab.evaluate(axe.source);
  const found = await tab.evaluate(() => window.axe.run(document, {resultTypes: ['violations']}));
  return found.violations.filter(one => ['serious', 'critical'].includes(one.impact))
    .map(one => `${one.id} (${one.impact}): ${one.nodes.slice(0, 3).map(node => node.html.slice(0, 160)).join(' | ')}`);
}

const state = tab => tab.evaluate(() => {
  const movie = document.getElementById('movie'), held = document.activeElement;
  return {
    focus: held.getAttribute('aria-label') || held.id || held.tagName, in_shots: !!held.closest('#shots'),
    data_in: Number(held.dataset.in), time: movie && movie.currentTime, paused: movie && movie.paused,
    playhead: parseFloat(document.getElementById('playhead').style.left), now: (document.getElementById('now') || {}).textContent,
    current: [...document.querySelectorAll('#shots [aria-current]')].map(block => block.dataset.in),
  };
});

// Every picture that stands still when the movie has come to a frame, as its row of squares says.
const strip = tab => tab.evaluate(async place => {
  const movie = document.getElementById('movie');
  while (movie.seeking) await new Promise(done => movie.addEventListener('seeked', done, {once: true}));
  await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
  const canvas = new OffscreenCanvas(640, 360), pen = canvas.getContext('2d', {willReadFrequently: true});
  pen.drawImage(movie, 0, 0, 640, 360);
  let bits = '';
  for (let n = 0; n < place.bits; ++n) {
    const at = pen.getImageData(place.x + n * place.square + 2, place.y + 2, place.square - 4, place.square - 4).data;
    let sum = 0;
    for (let k = 0; k < at.length; k += 4) sum += at[k] + at[k + 1] + at[k + 2];
    const grey = sum / (at.length / 4) / 3;
    bits += grey > 160 ? '1' : grey < 95 ? '0' : '?';
  }
  return bits;
}, STRIP);

async function walk(browser, page) {
  const {tab, seen} = await open(browser, page, {colorScheme: 'light'});
  const told = {...seen, axe_light: await faults(tab)};
  // Tab to the shots; all of them are one stop.
  told.tabs = 0;
  while (told.tabs < 60 && !(await state(tab)).in_shots) {
    await tab.keyboard.press('Tab');
    ++told.tabs;
  }
  told.first = await state(tab);
  await tab.keyboard.press('ArrowRight');
  await tab.waitForFunction(() => !document.getElementById('movie').paused);
  told.second = await state(tab);
  await tab.waitForTimeout(700);
  told.playing = await state(tab);
  await tab.keyboard.press(' ');
  told.paused = await state(tab);
  await tab.keyboard.press('ArrowLeft');
  await tab.keyboard.press(' ');
  told.back = await state(tab);
  // It has played on into the fifth shot: the next one is the sixth.
  await tab.keyboard.press(' ');
  await tab.evaluate(() => {
    const fifth = document.querySelectorAll('#shots button')[4], rate = document.querySelector('main').dataset.rate.split('/');
    document.getElementById('movie').currentTime = (Number(fifth.dataset.in) + 1.5) * (Number(rate[1]) || 1) / Number(rate[0]);
  });
  await tab.waitForFunction(() => document.querySelectorAll('#shots button')[4].hasAttribute('aria-current'));
  await tab.keyboard.press('ArrowRight');
  await tab.keyboard.press(' ');
  told.run_on = await state(tab);
  await tab.keyboard.press('End');
  await tab.keyboard.press(' ');
  told.end = await state(tab);
  await tab.keyboard.press('Home');
  await tab.keyboard.press(' ');
  await tab.evaluate(() => { document.getElementById('movie').currentTime = 0; });
  told.home = await state(tab);
  // Then from contact to contact, as far as there are any.
  told.hits = [];
  const frames = await tab.evaluate(() => [...document.querySelectorAll('#shots button')]
    .flatMap(block => block.dataset.hits.split(' ').filter(Boolean).map(Number)));
  for (let n = 0; n < frames.length; ++n) {
    await tab.keyboard.press('ArrowDown');
    const bits = await strip(tab);
    told.hits.push({frame: frames[n], bits, ...await state(tab)});
  }
  // A click on a block plays from there.
  await tab.click('#shots button >> nth=2');
  await tab.waitForFunction(() => !document.getElementById('movie').paused);
  told.clicked = await state(tab);
  await tab.keyboard.press(' ');
  told.names = await tab.evaluate(() => [...document.querySelectorAll('#shots button, button, a, input, summary, video')]
    .filter(one => !(one.getAttribute('aria-label') || one.textContent.trim() || one.labels?.length || one.querySelector('img[alt]')))
    .map(one => one.outerHTML.slice(0, 120)));
  told.pictures = await tab.evaluate(() => [...document.images].map(image => ({alt: image.alt, wide: image.naturalWidth})));
  told.lanes = await tab.evaluate(() => [...document.querySelectorAll('.lane')].map(lane => lane.className));
  await tab.emulateMedia({media: 'print'});
  told.print = await tab.evaluate(() => ({
    player: getComputedStyle(document.querySelector('.player')).display,
    over: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    lanes: document.querySelector('.lanes').clientWidth <= document.querySelector('.scroll').clientWidth + 1,
  }));

  const dark = await open(browser, page, {colorScheme: 'dark', reducedMotion: 'reduce'});
  told.axe_dark = await faults(dark.tab);
  await dark.tab.focus('#shots button');
  await dark.tab.keyboard.press('End');
  told.calm_scrolls = await dark.tab.evaluate(() => window.scrolls);
  const phone = await open(browser, page, {viewport: {width: 390, height: 844}});
  told.phone_over = await phone.tab.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  return told;
}

async function look(browser, page) {
  const {tab, seen} = await open(browser, page, {});
  return {
    ...seen, axe_light: await faults(tab),
    text: await tab.evaluate(() => document.body.innerText),
    spoken: await tab.evaluate(() => [...document.querySelectorAll('[aria-label], [alt], [title]')]
      .map(one => one.getAttribute('aria-label') || one.alt || one.title)),
    scripts: await tab.evaluate(() => document.scripts.length),
    strangers: await tab.evaluate(() => window.stranger ?? null),
    over: await tab.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
    glance: await tab.evaluate(() => document.querySelectorAll('#glance img').length),
    shots: await tab.evaluate(() => document.querySelectorAll('#shots button').length),
  };
}

(async () => {
  const [, , page, what] = process.argv;
  // The squares are read off a canvas, which a page from disk may do only with this.
  const browser = await chromium.launch({
    executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--allow-file-access-from-files', '--mute-audio'],
  });
  try {
    console.log(JSON.stringify(await (what === 'look' ? look : walk)(browser, page)));
  } finally {
    await browser.close();
  }
})().catch(error => { console.error(error); process.exit(1); });
