//! How the page looks, on screen and on paper.

/// Margins of 10 mm leave 190 mm on A4 and 195.9 mm on letter: the picture keeps its scale.
pub(crate) const STYLE: &str = "\
@page { margin: 10mm; }
* { box-sizing: border-box; }
body { margin: 0 auto; padding: 6mm 0; width: 190mm; color: #000; background: #fff;
  font: 8.4pt/1.3 'DejaVu Sans', Verdana, sans-serif; }
h1 { font-size: 11pt; line-height: 1.2; margin: 0 0 1.5mm; overflow-wrap: anywhere; }
h2 { font-size: 9.8pt; margin: 0 0 1mm; padding-bottom: .4mm; break-after: avoid; border-bottom: .36mm solid #000; }
section { margin: 0 0 2.8mm; break-inside: avoid; }
section.long { break-inside: auto; }
.even { columns: 2; column-gap: 7mm; margin-bottom: 2.8mm; }
.even svg { max-width: 100%; height: auto; }
.two { display: grid; grid-template-columns: 1fr 1fr; gap: 0 7mm; align-items: start; }
.picture svg { display: block; width: 190mm; height: auto; border: .18mm solid #999; }
p { margin: 0 0 1mm; }
ul, ol { margin: 0; padding-left: 5mm; }
li { margin: 0 0 .5mm; break-inside: avoid; }
dl { margin: 0; display: grid; grid-template-columns: max-content 1fr; gap: .4mm 4mm; }
dt { color: #444; }
dd { margin: 0; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: .5mm 1.4mm .5mm 0;
  border-bottom: .18mm solid #999; overflow-wrap: anywhere; }
th { font-weight: normal; color: #444; font-size: 7.8pt; white-space: nowrap; }
td.figure, th.figure { text-align: right; padding-right: 2.4mm; white-space: nowrap; }
table.cutters { font-size: 8pt; }
table.cutters td { overflow-wrap: normal; }
td.whole { white-space: nowrap; }
code, pre { font-family: 'DejaVu Sans Mono', 'Liberation Mono', monospace; }
code { font-size: 8.6pt; }
pre { font-size: 7.4pt; line-height: 1.35; margin: 0; white-space: pre-wrap; }
ul.boxes { list-style: none; padding: 0; }
ul.boxes li { padding-left: 6.5mm; position: relative; margin-bottom: .9mm; }
ul.boxes li::before { content: ''; position: absolute; left: 0; top: .5mm; width: 3.4mm;
  height: 3.4mm; border: .36mm solid #000; }
.verdict { border: .36mm solid #000; padding: 1.2mm 2.4mm; margin-bottom: 1mm; font-weight: bold; }
.refused { border-width: 1mm; }
.small { font-size: 7.6pt; color: #222; }
.figures { display: grid; grid-template-columns: 4fr 5fr; gap: 0 6mm; align-items: start;
  font-size: 7.2pt; }
.figures td { padding: .25mm 1.2mm .25mm 0; }
.figures .whole { white-space: nowrap; }
ul.columns { columns: 2; column-gap: 7mm; }
ul.columns li { break-inside: avoid; }
@media print { body { padding: 0; } ul.columns { orphans: 1; } .picture svg { border: 0; } }
";
