/** Black on white, legible without colour; the fonts are the system's own. */
export const STYLE = `
@page { size: A4; margin: 10mm 12mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; font-size: 8.2pt; }
body {
  margin: 0 auto; max-width: 186mm; padding: 0;
  font: 1rem/1.3 "Helvetica Neue", Arial, "Liberation Sans", "DejaVu Sans", sans-serif;
  overflow-wrap: break-word; hyphens: auto;
}
@media screen { body { padding: 8mm 4mm; } }
@media print { body { max-width: none; } }
.dense body { zoom: 0.87; }
.densest body { zoom: 0.75; }
h1 { font-size: 1.628rem; margin: 0; line-height: 1.1; }
h2 { font-size: 1.116rem; margin: 0 0 1mm; border-bottom: 0.3mm solid #000; break-after: avoid; }
h3 { font-size: 1rem; margin: 1mm 0 0; break-after: avoid; }
p { margin: 0 0 0.8mm; }
ul { margin: 0 0 0.8mm; padding-left: 4mm; }
section { margin: 0 0 2mm; break-inside: avoid; }
svg { display: block; font-family: inherit; }
.small { font-size: 0.86rem; }
header { display: flex; gap: 4mm; align-items: flex-start; margin-bottom: 2mm; }
.logo { max-height: 16mm; max-width: 44mm; object-fit: contain; filter: grayscale(1); }
.shop { flex: 1; min-width: 0; }
.about { text-align: right; max-width: 80mm; }
.about p { margin: 0; }
.facts { display: grid; grid-template-columns: 1.7fr 1fr 1.6fr 1fr 1.1fr; gap: 0 3mm; margin: 0 0 2.4mm; padding: 1mm 0; border-block: 0.3mm solid #000; }
.facts div { min-width: 0; }
.facts dt { font-size: 0.814rem; }
.facts dd { margin: 0; font-size: 0.93rem; font-weight: 700; }
.stop { border: 1mm solid #000; padding: 1.5mm 2.5mm; }
.stop h2 { border: 0; font-size: 1.512rem; letter-spacing: 0.4mm; }
.stop p { font-size: 1.163rem; font-weight: 700; }
.verdict { border: 0.5mm solid #000; padding: 1.5mm 2.5mm; }
.verdict h2 { border: 0; margin: 0; }
.verdict .headline { font-size: 1.453rem; font-weight: 700; line-height: 1.2; margin: 0.4mm 0 0.8mm; }
.columns { display: grid; grid-template-columns: 1fr 60mm; gap: 5mm; }
.columns > * { min-width: 0; }
.vehicle { width: 48mm; height: auto; margin: 0 auto 1mm; }
.chart { width: 100%; height: auto; margin-bottom: 0.6mm; }
.dense .chart { width: 90%; }
.densest .chart { width: 80%; }
table { border-collapse: collapse; width: 100%; table-layout: fixed; margin-bottom: 1mm; }
tr { break-inside: avoid; }
th, td { border: 0.2mm solid #000; padding: 0.8mm 1.2mm; text-align: left; vertical-align: top; }
thead td { border: 0; }
tbody th { width: 20mm; font-size: 0.86rem; }
thead td { width: 20mm; }
th.chosen { outline: 0.7mm solid #000; outline-offset: -0.5mm; }
.step { font-size: 0.837rem; line-height: 1.25; margin: 0 0 0.5mm; }
.refused { font-weight: 700; }
.next p { font-size: 1.163rem; font-weight: 700; }
.signatures { display: flex; gap: 10mm; margin-top: 9mm; break-inside: avoid; }
.signatures p { flex: 1; border-top: 0.3mm solid #000; padding-top: 0.6mm; margin: 0; font-size: 0.86rem; }
`;
