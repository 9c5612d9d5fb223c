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
  card: '#1c1f25',
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
 * dark), then the few parts a page is made of, then paper. The look is that of a cut on butcher paper: a serif for what is
 * said, a sans for what is counted, and the two-tone rule of fat over lean under the head of each page.
 */
export const styleSheet = `
:root{--ink:#22252b;--soft:#565b65;--paper:#f8f5ef;--card:#fffefc;--line:#e0d9cc;--link:#0b5c8f;--mark:#7a2331;--cap:#d9c9a8;--warn:#8f3a0a;--warn-bg:#fbefe6;
--s0:.833rem;--s1:1rem;--s2:1.2rem;--s3:1.44rem;--s4:1.728rem;--gap:.5rem;--rail:13rem;
--said:"Iowan Old Style","Palatino Linotype",Palatino,P052,"Book Antiqua",Georgia,serif;${tokens(colors)}color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--ink:#ece8df;--soft:#b6b2a9;--paper:#15171b;--card:#1c1f25;--line:#343841;--link:#7cc0ee;--mark:#d07a87;--cap:#6f6650;--warn:#f0a97a;--warn-bg:#2b211b;${tokens(darkOf)}}}
*{box-sizing:border-box}
html{font:100%/1.5 system-ui,-apple-system,"Segoe UI",sans-serif;color:var(--ink);background:var(--paper);-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:80rem;padding:0 clamp(1rem,3vw,2.5rem) 2rem;overflow-wrap:break-word}
p,li,dd{text-wrap:pretty}
:focus-visible{outline:3px solid var(--link);outline-offset:2px;border-radius:2px}
main:focus{outline:none}
a{color:var(--link);text-underline-offset:.15em;text-decoration-thickness:1px}
.skip{position:absolute;left:-100vw}.skip:focus{left:1rem;top:.5rem;background:var(--card);padding:.5rem 1rem;z-index:3}
header{display:flex;flex-wrap:wrap;align-items:center;gap:.25rem 2rem;padding:.9rem 0 .6rem;margin-bottom:1.75rem;border-bottom:4px solid var(--mark);box-shadow:0 3px 0 var(--cap)}
.chain{margin:0;line-height:1.25}.chain strong{display:block;font:600 var(--s2)/1.2 var(--said)}.chain span{color:var(--soft);font-size:var(--s0)}
nav ul{display:flex;flex-wrap:wrap;gap:0 1.25rem;list-style:none;margin:0;padding:0}
nav a{display:inline-block;padding:.4rem 0;text-decoration:none}nav a:hover{text-decoration:underline}
nav a[aria-current]{color:var(--ink);font-weight:600;box-shadow:inset 0 -2px 0 var(--mark)}
.find{position:relative;margin-left:auto;width:17rem;max-width:100%}
.find:empty{display:none}
input,select,button{font:inherit;color:inherit;background:var(--card);border:1px solid var(--c-calm);border-radius:4px;padding:.3rem .6rem;max-width:100%}
button{cursor:pointer}
.find input{width:100%;font-size:.9rem}
.find ul{position:absolute;right:0;z-index:2;width:min(22rem,90vw);max-height:20rem;overflow:auto;list-style:none;margin:.25rem 0 0;padding:.25rem;background:var(--card);border:1px solid var(--c-calm);border-radius:4px}
.find li{padding:.35rem .6rem;border-radius:3px;cursor:pointer}.find li[aria-selected=true]{background:var(--c-band)}
h1,h2,h3,h4{text-wrap:balance}
h1{font-size:var(--s1);font-weight:600;color:var(--mark);margin:.35rem 0 0;line-height:1.35}
.lead{font:500 clamp(var(--s3),1rem + 1.6vw,2.1rem)/1.22 var(--said);font-variant-numeric:lining-nums;margin:0 0 .75rem;max-width:32em;text-wrap:pretty}
.basis,.note,.counted,.read{color:var(--soft);font-size:var(--s0)}
.basis{margin:.5rem 0 0}.note{margin:.35rem 0 0;max-width:75ch}
h2{font:600 var(--s3)/1.2 var(--said);margin:0}
h3{font-size:var(--s1);margin:0;line-height:1.35}
h4{font-size:.9rem;margin:0;line-height:1.35}
h1::first-letter,h2::first-letter,h3::first-letter,h4::first-letter,caption span::first-letter,.lead::first-letter{text-transform:uppercase}
section{border-top:1px solid var(--line);padding-top:1.25rem;margin-top:2.25rem}
section>.rail{margin-bottom:1rem}
.body{min-width:0}.body>:first-child{margin-top:0}
.banner,.stale{padding:.4rem 1rem;border-left:4px solid var(--warn);background:var(--warn-bg);margin:0 0 1.25rem}
.facts{display:flex;flex-wrap:wrap;gap:.75rem 2.5rem;margin:1rem 0 0}.facts div{display:flex;flex-direction:column-reverse;justify-content:flex-end;max-width:15rem}.facts dt{color:var(--soft);font-size:var(--s0);line-height:1.35}.facts dd{margin:0;font-size:var(--s3);font-weight:600;line-height:1.25;font-variant-numeric:tabular-nums lining-nums}.facts a{text-decoration-color:var(--c-calm)}
.actions{list-style:none;margin:0;padding:0;counter-reset:a}
.actions>li{counter-increment:a;display:grid;grid-template-columns:2.25rem minmax(0,1fr) auto;gap:0 1.5rem;padding:1rem 0;border-bottom:1px solid var(--line)}
.actions>li:first-child{padding-top:0}.actions>li:last-child{border-bottom:0;padding-bottom:0}
.actions>li::before{content:counter(a);font:500 var(--s4)/1 var(--said);font-variant-numeric:lining-nums;color:var(--mark)}
.actions h3{font:600 var(--s2)/1.3 var(--said);font-variant-numeric:lining-nums}.actions p{margin:.3rem 0 0;max-width:72ch}
.links{display:flex;flex-wrap:wrap;gap:.25rem 1.25rem}
.actions .worth{text-align:right;margin:0;max-width:9.5rem}.worth strong{display:block;font-size:var(--s4);font-weight:600;line-height:1.1;font-variant-numeric:tabular-nums}.worth span{display:block;font-size:var(--s0);color:var(--soft);line-height:1.35;margin-top:.2rem}
.grid{display:grid;gap:1rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,21rem),1fr))}
figure{container-type:inline-size;margin:0 0 1rem;padding:1rem 1.25rem;background:var(--card);border:1px solid var(--line);border-radius:4px;min-width:0}
.plain+figure,.scroll+figure,figure+.scroll,.scroll+.scroll{margin-top:1.25rem}figure:last-child,.grid>figure{margin-bottom:0}
figcaption p{margin:.15rem 0 0;max-width:75ch}
.plot{margin:.75rem 0 .25rem}
.plot svg{display:block;max-width:100%;height:auto;overflow:visible}
.narrow{display:none}
@container (max-width:40rem){.plot>.wide{display:none}.plot>.narrow{display:block}}
.panels{display:grid;gap:1.25rem 1.5rem;grid-template-columns:repeat(auto-fill,minmax(min(100%,16.5rem),1fr));margin:1rem 0 .5rem}
.panel{min-width:0}@container (min-width:40rem){.double{grid-column:span 2}}.panel .counted{margin:0}.panel .plot{margin:.4rem 0 0}
.tools{float:right;display:flex;gap:.25rem;margin:0 0 .25rem 1rem}
.tools button{font-size:.75rem;padding:.1rem .45rem;color:var(--soft);border-color:var(--line)}.tools button:hover{color:var(--ink);border-color:var(--c-calm)}
@container (max-width:24rem){.tools{float:none;margin:0 0 .4rem}}
summary{cursor:pointer;color:var(--link);font-size:var(--s0);padding:.25rem 0}
.scroll{--under:var(--paper);--edge:color-mix(in srgb,var(--ink) 25%,transparent);overflow-x:auto;position:relative;background:linear-gradient(90deg,var(--under) 40%,transparent) 0 0/2.5rem 100% no-repeat local,linear-gradient(270deg,var(--under) 40%,transparent) 100% 0/2.5rem 100% no-repeat local,linear-gradient(90deg,var(--edge),transparent) 0 0/.8rem 100% no-repeat,linear-gradient(270deg,var(--edge),transparent) 100% 0/.8rem 100% no-repeat}figure .scroll{--under:var(--card)}
.scroll.long{max-height:34rem;overflow-y:auto;border-bottom:1px solid var(--line)}.scroll.long thead th{position:sticky;top:0;background:var(--paper);box-shadow:0 1px 0 var(--line)}figure .scroll.long thead th{background:var(--card)}
table{border-collapse:collapse;font-size:.9rem;font-variant-numeric:tabular-nums;min-width:min(100%,20rem)}
caption span{position:sticky;left:0;display:inline-block;max-width:min(100%,calc(100vw - 5rem))}caption{text-align:left;color:var(--soft);font-size:var(--s0);padding:.25rem 0}
th{font-weight:600;vertical-align:bottom}th,td{text-align:left;padding:.35rem 1.1rem .35rem 0}th:last-child,td:last-child{padding-right:.25rem}
tbody tr{border-top:1px solid var(--line)}td{vertical-align:top}
td.n,th.n{text-align:right}td.n,td.s{white-space:nowrap}
th button{border:0;background:none;padding:0;font-weight:600;text-align:inherit}th button::after{content:"\\a0\\2195";color:var(--soft)}th[aria-sort=ascending] button::after{content:"\\a0\\2191"}th[aria-sort=descending] button::after{content:"\\a0\\2193"}
.filters{display:flex;flex-wrap:wrap;gap:.5rem 1rem;margin:0 0 .75rem;align-items:end}.filters label{display:grid;font-size:var(--s0);color:var(--soft)}.filters output{font-size:var(--s0);color:var(--soft);padding-bottom:.4rem}
.plain{padding-left:1.1rem;max-width:80ch;margin:.5rem 0}.plain li{margin:.35rem 0}.plain:first-child{margin-top:0}
.two>.scroll{margin:0 0 .9rem}
.two{display:grid;gap:0 2.5rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,24rem),1fr))}
.good{border-left:4px solid var(--c-main);padding:.1rem 0 .1rem 1rem;margin:0 0 .75rem}
.terms{margin:0}.terms dt{font-weight:600;margin-top:.9rem}.terms dt:first-child{margin-top:0}.terms dd{margin:0;max-width:75ch}
.what-if .terms{display:grid;gap:.9rem 2rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,16rem),1fr));border-top:1px solid var(--line);padding-top:.9rem}.what-if .terms div{display:flex;flex-direction:column-reverse;justify-content:flex-end}.what-if .terms dt{margin:0;font-weight:400;font-size:var(--s0);color:var(--soft)}.what-if .terms dd{font-weight:600;font-variant-numeric:tabular-nums}.what-if .lead{margin:1rem 0}
.after{margin-top:1.25rem}
.blank{border-bottom:1px solid var(--c-calm);min-height:2.2rem}
details+details{margin-top:.25rem}
footer{margin-top:3rem;padding-top:1rem;border-top:1px solid var(--line);color:var(--soft);font-size:var(--s0);display:grid;gap:.5rem 2.5rem;grid-template-columns:repeat(auto-fit,minmax(min(100%,26rem),1fr))}footer p{margin:0}
[hidden]{display:none!important}.unbroken{white-space:nowrap}
${repaint}
@media (min-width:64rem){
section,.opening{display:grid;grid-template-columns:var(--rail) minmax(0,1fr);gap:0 2.5rem}
.opening .body{grid-column:2;grid-row:1/span 2}.opening .basis{grid-column:1}.opening{grid-template-rows:auto 1fr}
section>.rail{margin:0}tbody td:first-child{white-space:nowrap}figure.side{display:grid;grid-template-columns:auto minmax(0,1fr);gap:0 2rem}.side>:not(.plot){grid-column:2}.side .plot{grid-column:1;grid-row:1/span 2;margin:0}.side .numbers{align-self:end}.side .numbers[open]{grid-column:1/-1}.two section,.two .opening{display:block}.two section>.rail{margin-bottom:.75rem}
}
@media (max-width:40rem){.actions>li{grid-template-columns:1.6rem minmax(0,1fr);gap:0 .75rem}.actions .worth{grid-column:2;text-align:left;margin-top:.5rem;max-width:none}.worth strong,.worth span{display:inline;margin-right:.5rem}.worth strong{font-size:var(--s3)}.find{width:100%}
}
@media screen and (max-width:40rem){
th,td{padding-right:.7rem}td:first-child,th:first-child{position:sticky;left:0;background:var(--under)}.scroll.long thead th:first-child{z-index:1}
.stack,.stack caption,.stack tbody,.stack tr,.stack td{display:block}.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack[data-sortable] thead{position:static;display:block;width:auto;height:auto;overflow:visible;clip-path:none}.stack[data-sortable] thead tr{display:flex;flex-wrap:wrap;gap:.1rem 1rem;padding-bottom:.4rem}.stack[data-sortable] th{position:static;box-shadow:none;padding:.15rem 0;font-size:var(--s0)}
.stack tbody tr{padding:.5rem 0}.stack td,.stack td:last-child{position:static;background:none;padding:.1rem 0}.stack tbody td:empty{display:none}.stack td::before{content:attr(data-head);color:var(--soft);font-size:var(--s0);display:block}
.stack td[class]{display:flex;justify-content:space-between;align-items:baseline;gap:1rem;white-space:normal;text-align:right}.stack td[class]::before{text-align:left}.stack tbody td:first-child{display:block;text-align:left;font-weight:600}.stack td:first-child::before{content:none}}
@media print{
@page{margin:14mm}
:root{--paper:#fff;--card:#fff;--ink:#000;--soft:#444;--line:#bbb;--link:#000;--mark:#7a2331;--cap:#d9c9a8;${tokens(colors)}}
html{font-size:10pt;-webkit-print-color-adjust:exact;print-color-adjust:exact}body{max-width:none;padding:0}
nav,.find,.tools,.filters,.skip,.numbers,.links,.basis span,details:not([open]),section:has(>.body):not(:has(>.body>:not(.links,details:not([open])))){display:none!important}
header{margin-bottom:.75rem;padding:0 0 .25rem}section{margin-top:1rem;padding-top:.6rem}h2,h3,h4,.rail{break-after:avoid}section>.rail{margin-bottom:.5rem}.body>p{margin:.3rem 0}
figure,.panel,.actions>li,tr,.good,.banner,.facts{break-inside:avoid}figure.panelled{break-inside:auto}figcaption,caption,thead{break-after:avoid}figure{border:0;padding:.15rem 0}
.plot svg{max-height:200mm}.scroll,.scroll.long{overflow:visible;max-height:none;background:none}td.n,td.s{white-space:normal}table{font-size:8pt}th,td{padding:.2rem .6rem .2rem 0}a{text-decoration:none}
.sheet{font-size:9pt}.sheet .lead{font-size:13pt;margin:.1rem 0 .3rem}.sheet h2{font-size:11pt}.sheet section{margin-top:.6rem;padding-top:.4rem}.sheet td,.sheet th{padding:.1rem .8rem .1rem 0}.sheet .actions>li{padding:.35rem 0}.sheet .actions h3{font-size:10.5pt}.sheet .after{margin-top:1.25rem}
.blank{min-height:1.6rem;margin:0}.sheet .two{grid-template-columns:1fr 1fr;gap:.3rem 1.5rem}.sheet .two>.scroll{margin:0}.sheet .plain{margin:0;max-width:none}.sheet .plain li{margin:.1rem 0}.sheet .note{font-size:8pt}
.sheet main>section,.sheet .opening{display:grid;grid-template-columns:8rem minmax(0,1fr);gap:0 1.25rem}.sheet .opening .body{grid-column:2;grid-row:1/span 2}.sheet .opening .basis{grid-column:1}.sheet section>.rail{margin:0}
footer{margin-top:1rem}
}
`.trimStart();
