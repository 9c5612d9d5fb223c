/** The one stylesheet of each bundle: tokens first, then the few parts a page is made of. */
export const styleSheet = `
:root { --ink:#1d2330; --soft:#555b66; --paper:#fdfcfa; --card:#ffffff; --line:#d9d6cf; --mark:#0072B2; --warn:#B34700; --space:1rem; color-scheme: light dark; }
@media (prefers-color-scheme: dark) { :root { --ink:#e9e6df; --soft:#b3b0a8; --paper:#16181d; --card:#1e2128; --line:#3a3e48; --mark:#6cb6e6; --warn:#f0945a; } figure svg { background:#f7f5f0; border-radius:4px; } }
* { box-sizing: border-box; }
body { margin:0 auto; max-width:70rem; padding:var(--space); font:1rem/1.5 system-ui, sans-serif; color:var(--ink); background:var(--paper); }
header p, footer, .note, figcaption .how { color:var(--soft); font-size:.875rem; }
h1 { font-size:1.125rem; font-weight:600; letter-spacing:.02em; margin:0; }
.lead { font-size:clamp(1.25rem, 3.5vw, 1.75rem); line-height:1.3; margin:var(--space) 0; max-width:45ch; }
h2 { font-size:1.125rem; margin:2rem 0 .5rem; }
nav a, a { color:var(--mark); }
nav { display:flex; flex-wrap:wrap; gap:var(--space); margin:.5rem 0; }
.banner { border-left:4px solid var(--warn); padding:.5rem 1rem; background:var(--card); margin:var(--space) 0; }
figure { margin:1.5rem 0; padding:var(--space); background:var(--card); border:1px solid var(--line); border-radius:8px; }
figure svg { display:block; width:100%; max-width:44rem; height:auto; }
figcaption strong { display:block; }
.scroll { overflow-x:auto; }
table { border-collapse:collapse; font-size:.875rem; font-variant-numeric:tabular-nums; }
th, td { text-align:left; padding:.3rem .75rem .3rem 0; border-bottom:1px solid var(--line); vertical-align:top; }
td.n, th.n { text-align:right; }
li { margin:.4rem 0; max-width:75ch; overflow-wrap:anywhere; }
summary { cursor:pointer; color:var(--mark); }
@media print { body { max-width:none; background:#fff; } details { display:none; } figure { break-inside:avoid; } }
`;
