// The one style sheet of all pages: dark on white, one column, quiet tables, and rules for print.
#pragma once
#include <string_view>

namespace firmus::page {

inline constexpr std::string_view style_sheet = R"css(
html { font: 100%/1.5 system-ui, sans-serif; color: #1a1a1a; background: #ffffff; }
body { max-width: 50rem; margin: 0 auto; padding: 1rem; }
h1 { font-size: 1.6rem; line-height: 1.25; margin: 0.5rem 0; }
h2 { font-size: 1.2rem; margin: 2rem 0 0.5rem; border-top: 1px solid #b9bec4; padding-top: 0.75rem; }
h3 { font-size: 1rem; margin: 1.25rem 0 0.25rem; }
p, ul, ol, dl { margin: 0.5rem 0; }
li { margin: 0.25rem 0; }
a { color: #1a4fa3; }
.lead { font-size: 1.3rem; margin: 0.75rem 0 0.25rem; }
.quiet, figcaption, caption { color: #4a5057; font-size: 0.9rem; }
.note { border-left: 4px solid #6b7178; padding-left: 0.75rem; }
dl > div { display: flex; gap: 1rem; margin: 0.25rem 0; }
dt { flex: 0 0 8.5rem; color: #4a5057; }
dd { margin: 0; min-width: 0; overflow-wrap: anywhere; }
figure { margin: 1rem 0; }
.wide { overflow-x: auto; }
:focus-visible { outline: 3px solid #1a4fa3; outline-offset: 2px; }
svg { display: block; width: 100%; min-width: 40rem; height: auto; }
table { border-collapse: collapse; width: 100%; font-size: 0.9rem; }
caption { text-align: left; padding: 0.25rem 0; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.5rem; border-bottom: 1px solid #d5d8dc; }
thead th { border-bottom: 2px solid #6b7178; }
tbody th { font-weight: 600; white-space: nowrap; }
.figure { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.sharp { color: #8f3d05; }
.flat { color: #1a4fa3; }
footer { margin-top: 2rem; border-top: 1px solid #b9bec4; padding-top: 0.75rem; font-size: 0.9rem; color: #4a5057; }
code { font: 0.95em ui-monospace, monospace; overflow-wrap: anywhere; }
.sound { position: sticky; bottom: 0; background: #ffffff; border-top: 2px solid #6b7178; padding: 0.5rem 0; }
.sound[hidden] { display: none; }
.drill[hidden] { display: none; }
pre { white-space: pre-wrap; margin: 0.5rem 0; }
.drill p, .sound p { display: flex; flex-wrap: wrap; gap: 0.5rem; align-items: center; margin: 0.25rem 0; }
button, select, input { font: inherit; color: inherit; }
button, select { background: #ffffff; border: 1px solid #595f66; border-radius: 3px; padding: 0.25rem 0.75rem; min-height: 2rem; }
button:disabled { color: #6b7178; border-style: dashed; }
tr[data-chosen] { background: #eef3fb; }
span[data-chosen] { background: #eef3fb; text-decoration: underline; }
g[data-chosen] rect { stroke: #1a1a1a; stroke-width: 1.5px; }
@media print {
  .sound, .drill { display: none; }
  span[data-chosen] { text-decoration: none; }
  @page { margin: 15mm; }
  html { font-size: 10.5pt; }
  body { max-width: none; padding: 0; }
  .wide { overflow: visible; }
  svg { min-width: 0; }
  table { font-size: 0.8rem; }
  svg, tr, li, dl > div { break-inside: avoid; }
  h2, h3, caption { break-after: avoid; }
  thead { display: table-header-group; }
}
)css";

}  // namespace firmus::page
