// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string_view>

namespace hosefit {

/// The look of the HTML sheet: a printed workshop card. No character of it needs escaping in XML. Patterns of
/// the bars tell apart without colour; narrow screens turn table rows into blocks.
inline constexpr std::string_view kSheetStyle = R"css(
:root{--ink:#1a1f26;--rule:#8a929c;--quiet:#4a525c;--tint:#f2f3f1}
*{box-sizing:border-box}
body{margin:0 auto;max-width:62rem;padding:1rem;font:1rem/1.45 'DejaVu Sans',Verdana,sans-serif;color:var(--ink);background:#fff;overflow-wrap:break-word}
header{border-bottom:3px solid var(--ink);padding-bottom:.4rem}
h1{font-size:1.6rem;line-height:1.2;margin:.2rem 0}
header p{margin:.15rem 0}
h2{font-size:1.2rem;margin:2rem 0 .6rem;padding-bottom:.2rem;border-bottom:1px solid var(--ink)}
h3{font-size:1rem;margin:0 0 .4rem}
p{margin:.4rem 0}
.card{border:1px solid var(--rule);padding:.7rem .9rem;margin:.7rem 0}
.card::after{content:'';display:block;clear:both}
.answer{border:3px solid var(--ink);padding:.4rem .9rem;margin:1rem 0}
.answer h2{margin:.3rem 0;border:0;font-size:1rem}
.loud{font-size:1.25rem;font-weight:bold;line-height:1.3}
.answer.bad{border-color:#9c1c12;border-width:6px}
.answer.bad .loud{color:#9c1c12}
.answer.good{border-color:#14532d}
.quiet,figcaption{color:var(--quiet);font-size:.9rem}
.strong{font-weight:bold}
.bad,.doubtful,.caution{border-left:6px solid;padding:.25rem .6rem;background:var(--tint)}
p.bad{border-color:#9c1c12;font-weight:bold}
.doubtful{border-left-style:double;border-color:#7a5200}
.caution{border-color:#000;border-left-style:dashed;font-size:.95rem}
nav ul{columns:2;margin:.5rem 0;padding-left:1.2rem}
nav a{color:inherit;display:inline-block;padding:.15rem 0}
ol,ul{padding-left:1.4rem;margin:.4rem 0}
li{margin:.25rem 0}
figure{margin:.4rem 0}
figure.small{float:left;width:46%;max-width:480px;margin:0 1rem .4rem 0}
img{max-width:100%;height:auto;border:1px solid var(--rule);display:block}
table{border-collapse:collapse;width:100%;margin:.5rem 0;font-size:.92rem}
caption{text-align:left;color:var(--quiet);padding-bottom:.3rem}
th,td{border-top:1px solid var(--rule);padding:.3rem .5rem .3rem 0;text-align:left;vertical-align:top}
thead th{border-top:0;border-bottom:2px solid var(--ink)}
.scale{display:flex;justify-content:space-between;font-size:.85rem;gap:1rem}
.bar-name{margin:.5rem 0 .1rem;font-weight:bold;font-size:.9rem}
.bar{position:relative;display:flex;height:1.6rem;border:1px solid var(--ink);-webkit-print-color-adjust:exact;print-color-adjust:exact}
.bar span{display:flex;align-items:center;justify-content:center;overflow:hidden;height:100%;border-right:1px solid var(--ink)}
.bar span:last-of-type{border-right:0}
.bar b{background:#fff;padding:0 .25rem;font-size:.75rem;line-height:1.2;white-space:nowrap}
.bar i{position:absolute;top:-.35rem;bottom:-.35rem;width:3px;margin-left:-1px;background:#000}
.fits{background:#9fc5ae}
.not{background:repeating-linear-gradient(45deg,#fff 0 5px,#b0553f 5px 8px)}
.no-stock{background:repeating-linear-gradient(0deg,#fff 0 4px,#5b6f8a 4px 6px)}
.open{background:repeating-linear-gradient(90deg,#fff 0 6px,#9aa1aa 6px 7px)}
.sign{margin-top:2.2rem;border-top:1px solid var(--ink);max-width:30rem}
.sign span{font-size:.85rem}
footer{border-top:3px solid var(--ink);margin-top:2rem;font-size:.88rem}
@media (max-width:40rem){
body{padding:.6rem}
nav ul{columns:1}
nav a{padding:.4rem 0}
figure.small{float:none;width:auto;max-width:none;margin:0 0 .5rem}
.card{padding:.5rem .6rem}
table,tbody,tr,td,th,caption{display:block;width:100%}
thead{position:absolute;left:-999rem}
tr{border-top:2px solid var(--ink);padding:.3rem 0}
tbody th,td{border:0;padding:.1rem 0}
td::before{content:attr(data-title) ': ';color:var(--quiet)}
}
@media print{
@page{margin:14mm}
body{max-width:none;padding:0;font-size:9.5pt}
nav{display:none}
h2,h3{break-after:avoid}
.card,figure,tr,li,.answer{break-inside:avoid}
thead{display:table-header-group}
}
)css";

}  // namespace hosefit
