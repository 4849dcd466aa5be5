/** Pages without a matrix have nothing to filter. */
export const NO_SCRIPT = '';

/**
 * The page's only script: it filters. Without it the page is whole; with it, rows that do not fit are hidden on screen (never on paper).
 * It reads the page alone, and sends and stores nothing.
 */
export const SCRIPT = `(() => {
'use strict';
const by = (id) => document.getElementById(id);
const bar = by('filter');
if (!bar) return;
const words = { m: 'matches', d: 'differs', x: 'missing', u: 'unproven' };
const rows = [...document.querySelectorAll('tr[id^=e]')].map((row) => {
  const evidence = by('v' + row.id.slice(1));
  return { row, body: row.parentNode, fold: evidence, verdict: words[row.className], text: '' };
});
const search = by('ft'), device = by('fd'), told = by('fn');
const boxes = [...bar.querySelectorAll('input[type=checkbox]')];
const textOf = (each) => each.text ||
  (each.text = (each.body.rows[0].textContent + ' ' + each.row.textContent + ' ' + (each.fold ? each.fold.textContent : '')).toLowerCase());
const apply = () => {
  const sought = search.value.trim().toLowerCase().split(/\\s+/).filter(Boolean);
  const verdicts = new Set(boxes.filter((box) => box.checked).map((box) => box.value));
  const shownIn = new Map();
  let shown = 0;
  for (const each of rows) {
    const fits = verdicts.has(each.verdict) && (!device.value || each.body.dataset.d === device.value) &&
      (!sought.length || sought.every((word) => textOf(each).includes(word)));
    each.row.classList.toggle('out', !fits);
    if (each.fold) each.fold.classList.toggle('out', !fits);
    if (fits) shown += 1;
    for (const holder of [each.body, each.body.parentNode.parentNode, each.fold && each.fold.parentNode])
      if (holder) shownIn.set(holder, (shownIn.get(holder) || 0) + (fits ? 1 : 0));
  }
  for (const [holder, amount] of shownIn) holder.classList.toggle('out', amount === 0);
  told.textContent = shown === rows.length ? 'all ' + rows.length + ' endpoints shown' : shown + ' of ' + rows.length + ' endpoints shown';
};
const clear = () => {
  search.value = ''; device.value = '';
  for (const box of boxes) box.checked = true;
  apply();
};
const reveal = () => {
  const target = location.hash.length > 1 && by(decodeURIComponent(location.hash.slice(1)));
  if (!target) return;
  if (target.closest('.out')) { clear(); target.scrollIntoView(); }
  for (let fold = target.closest('details'); fold; fold = fold.parentElement.closest('details'))
    if (!fold.open) { fold.open = true; target.scrollIntoView(); }
};
search.addEventListener('input', apply);
device.addEventListener('change', apply);
for (const box of boxes) box.addEventListener('change', apply);
by('fc').addEventListener('click', () => { clear(); search.focus(); });
addEventListener('hashchange', reveal);
bar.hidden = false;
told.textContent = 'all ' + rows.length + ' endpoints shown';
reveal();
})();`;
