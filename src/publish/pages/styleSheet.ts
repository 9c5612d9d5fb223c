import { colors } from '../charts/chartConfig.ts';

/** The dark theme's value of each chart color; the light one is the color itself. */
const darkOf: Record<keyof typeof colors, string> = {
  main: '#7cc0ee',
  warn: '#f09a63',
  other: '#d79bc6',
  calm: '#989ca5',
  ink: '#ece8df',
  soft: '#b6b2a9',
  grid: '#343841',
  band: '#27485d',
};

const names = Object.keys(colors) as (keyof typeof colors)[];
const tokens = (of: Record<string, string>): string =>
  names.map((name) => `--c-${name}:${of[name]};`).join('');
const repaint = names
  .map(
    (name) =>
      `.plot svg [fill="${colors[name]}"]{fill:var(--c-${name})}.plot svg [stroke="${colors[name]}"]{stroke:var(--c-${name})}`,
  )
  .join('\n');

/**
 * The one stylesheet of each bundle. Tokens first (a type scale of 1.2 on 1 rem, a space of 0.5 rem, colors for light and
 * dark), then the few parts a page is made of, then paper.
 */
export const styleSheet = `
:root{--ink:#22252b;--soft:#565b65;--paper:#fbf9f5;--card:#fffefc;--line:#e2ddd3;--link:#0b5c8f;--mark:#7a2331;--warn:#8f3a0a;--warn-bg:#fbefe6;
--s0:.833rem;--s1:1rem;--s2:1.2rem;--s3:1.44rem;--s4:1.728rem;--gap:.5rem;${tokens(colors)}color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--ink:#ece8df;--soft:#b6b2a9;--paper:#15171b;--card:#1c1f25;--line:#343841;--link:#7cc0ee;--mark:#c96a78;--warn:#f0a97a;--warn-bg:#2b211b;${tokens(darkOf)}}}
*{box-sizing:border-box}
html{font:100%/1.5 system-ui,-apple-system,"Segoe UI",sans-serif;color:var(--ink);background:var(--paper);-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:72rem;padding:0 clamp(1rem,3vw,2rem) 2rem;overflow-wrap:break-word}
:focus-visible{outline:3px solid var(--link);outline-offset:2px;border-radius:2px}
main:focus{outline:none}
a{color:var(--link);text-underline-offset:.15em}
.skip{position:absolute;left:-100vw}.skip:focus{left:1rem;top:.5rem;background:var(--card);padding:.5rem 1rem;z-index:3}
header{display:flex;flex-wrap:wrap;align-items:center;gap:.25rem 1.5rem;padding:.75rem 0;border-bottom:1px solid var(--line);margin-bottom:1.5rem}
.chain{display:flex;align-items:center;flex-wrap:wrap;gap:0 .5rem;margin:0}.chain span{color:var(--soft)}
.mark{width:1.75rem;height:.85rem;border-radius:.45rem .45rem .2rem .2rem;background:linear-gradient(var(--c-grid) 0 28%,var(--mark) 28%)}
nav ul{display:flex;flex-wrap:wrap;gap:0 1.25rem;list-style:none;margin:0;padding:0}
nav a{display:inline-block;padding:.4rem 0;text-decoration:none}nav a:hover{text-decoration:underline}
nav a[aria-current]{color:var(--ink);font-weight:600;border-bottom:2px solid var(--mark)}
.find{position:relative;margin-left:auto;min-width:16rem}
.find:empty{display:none}
input,select,button{font:inherit;color:inherit;background:var(--card);border:1px solid var(--c-calm);border-radius:6px;padding:.3rem .6rem;max-width:100%}
button{cursor:pointer}
.find input{width:100%}
.find ul{position:absolute;right:0;z-index:2;width:min(22rem,90vw);max-height:20rem;overflow:auto;list-style:none;margin:.25rem 0 0;padding:.25rem;background:var(--card);border:1px solid var(--c-calm);border-radius:6px}
.find li{padding:.35rem .6rem;border-radius:4px;cursor:pointer}.find li[aria-selected=true]{background:var(--c-band)}
h1{font-size:var(--s1);font-weight:600;color:var(--soft);margin:0;letter-spacing:.01em}
.lead{font-size:clamp(var(--s3),1rem + 1.6vw,2.074rem);line-height:1.25;font-weight:500;margin:.25rem 0 .75rem;max-width:36em;text-wrap:pretty}
.basis,.note,.counted,.read{color:var(--soft);font-size:var(--s0)}
.basis{margin:0;max-width:80ch}.note{max-width:80ch}
h2{font-size:var(--s2);margin:2.5rem 0 .75rem;line-height:1.3}
h3{font-size:var(--s1);margin:0;line-height:1.35}
.banner,.stale{padding:.5rem 1rem;border-left:4px solid var(--warn);background:var(--warn-bg);margin:0 0 1rem}
.actions{list-style:none;margin:0;padding:0;counter-reset:a;border-top:1px solid var(--line)}
.actions>li{counter-increment:a;display:grid;grid-template-columns:2rem 1fr auto;gap:0 1.5rem;padding:1rem 0;border-bottom:1px solid var(--line)}
.actions>li::before{content:counter(a);font-size:var(--s3);line-height:1.1;color:var(--mark);font-variant-numeric:tabular-nums}
.actions .what>strong{font-size:var(--s2);line-height:1.3}.actions p{margin:.25rem 0 0;max-width:70ch}
.links{display:flex;flex-wrap:wrap;gap:.25rem 1.25rem}
.worth{text-align:right;margin:0!important}.worth strong{display:block;font-size:var(--s3);font-weight:600;line-height:1.2;font-variant-numeric:tabular-nums}.worth span{font-size:var(--s0);color:var(--soft)}
.grid{display:grid;gap:1rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,21rem),1fr))}
figure{container-type:inline-size;margin:0 0 1rem;padding:1rem;background:var(--card);border:1px solid var(--line);border-radius:10px;min-width:0}
.grid>figure{margin:0}
figcaption p{margin:.15rem 0 0;max-width:75ch}
.plot{margin:.75rem 0 .25rem}
.plot svg{display:block;max-width:100%;height:auto}
.narrow{display:none}
@container (max-width:44rem){.plot>.wide{display:none}.plot>.narrow{display:block}}
.tools{display:flex;flex-wrap:wrap;gap:.5rem;margin:.5rem 0 0}
.tools button{font-size:var(--s0);padding:.15rem .6rem;color:var(--soft);border-color:var(--line)}.tools button:hover{color:var(--ink);border-color:var(--c-calm)}
summary{cursor:pointer;color:var(--link);font-size:var(--s0);padding:.25rem 0}
.scroll{overflow-x:auto;position:relative}
table{border-collapse:collapse;font-size:.9rem;font-variant-numeric:tabular-nums;min-width:min(100%,20rem)}
caption{text-align:left;color:var(--soft);font-size:var(--s0);padding:.25rem 0}
th{font-weight:600;vertical-align:bottom}th,td{text-align:left;padding:.35rem 1rem .35rem 0}
tbody tr{border-top:1px solid var(--line)}td{vertical-align:top}
td.n,th.n{text-align:right;white-space:nowrap}
th button{border:0;background:none;padding:0;font-weight:600;text-align:inherit}th button::after{content:" \\2195";color:var(--soft)}th[aria-sort=ascending] button::after{content:" \\2191"}th[aria-sort=descending] button::after{content:" \\2193"}
.filters{display:flex;flex-wrap:wrap;gap:.5rem 1rem;margin:.5rem 0;align-items:end}.filters label{display:grid;font-size:var(--s0);color:var(--soft)}.filters output{font-size:var(--s0);color:var(--soft)}
.plain{padding-left:1.1rem;max-width:80ch}.plain li{margin:.35rem 0}
.steps li{margin:.6rem 0;max-width:70ch}
.facts{display:flex;flex-wrap:wrap;gap:1rem 2.5rem;margin:1rem 0}.facts div{min-width:9rem}.facts dt{color:var(--soft);font-size:var(--s0)}.facts dd{margin:0;font-size:var(--s2);font-weight:600}.facts dl{margin:0}
dl.facts{padding:0}
.two{display:grid;gap:0 2rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr))}
.good{border-left:4px solid var(--c-main);padding:.25rem 1rem;margin:1rem 0}
.terms dt{font-weight:600;margin-top:.75rem}.terms dd{margin:0 0 0 1rem;max-width:75ch}
.blank{border-bottom:1px solid var(--c-calm);min-height:2.2rem}
footer{margin-top:3rem;padding-top:1rem;border-top:1px solid var(--line);color:var(--soft);font-size:var(--s0)}footer p{max-width:90ch;margin:0}
[hidden]{display:none!important}
${repaint}
@media (max-width:40rem){.actions>li{grid-template-columns:1.5rem 1fr}.actions .worth{grid-column:2;text-align:left;margin-top:.5rem!important}.worth strong{display:inline;margin-right:.5rem}.find{width:100%}}
@media print{
@page{margin:14mm}
:root{--paper:#fff;--card:#fff;--ink:#000;--soft:#444;--line:#bbb;--link:#000;${tokens(colors)}}
html{font-size:10.5pt}body{max-width:none;padding:0}
nav,.find,.tools,.filters,.skip,.numbers,.links,header .find{display:none!important}
header{margin-bottom:.5rem;padding:0 0 .25rem}h2{margin:1rem 0 .25rem;break-after:avoid}
figure,.actions>li,tr,.good,.banner{break-inside:avoid}figure{border:0;padding:.25rem 0}
.plot svg{max-height:200mm}.scroll{overflow:visible}a{text-decoration:none}
.sheet{font-size:9pt}.sheet .lead{font-size:13pt;margin:.1rem 0 .3rem}.sheet h2{font-size:11pt;margin:.6rem 0 .2rem}.sheet td,.sheet th{padding:.1rem .8rem .1rem 0}.sheet .actions>li{padding:.35rem 0}.sheet .blank{min-height:1.6rem;margin:0}.sheet .two{grid-template-columns:1fr 1fr}
footer{margin-top:1rem}
}
`.trimStart();
