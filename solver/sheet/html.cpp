// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/html.h"

#include <fmt/format.h>

#include <cstdint>

#include "solver/sheet/html_style.h"

namespace hosefit {
namespace {

std::string_view class_of(Tone tone) {
  switch (tone) {
    case Tone::plain:
      return "plain";
    case Tone::quiet:
      return "quiet";
    case Tone::strong:
      return "strong";
    case Tone::good:
      return "good";
    case Tone::doubtful:
      return "doubtful";
    case Tone::bad:
      return "bad";
    case Tone::caution:
      return "caution";
  }
  return "";
}

std::string_view class_of(Fit fit) {
  switch (fit) {
    case Fit::fits:
      return "fits";
    case Fit::passage_no_stock:
      return "no-stock";
    case Fit::does_not_fit:
      return "not";
    case Fit::undecided:
      return "open";
  }
  return "";
}

struct BlockWriter {
  std::string& out;

  void operator()(const Paragraph& p) const {
    out += fmt::format("<p class=\"{}\">{}</p>\n", class_of(p.tone), escaped(p.text));
  }
  void operator()(const SheetList& list) const {
    out += "<ul>\n";
    for (const std::string& item : list.items) out += fmt::format("<li>{}</li>\n", escaped(item));
    out += "</ul>\n";
  }
  void operator()(const JobSteps& job) const {
    out += "<ol>\n";
    for (const JobStep& step : job.steps) {
      out += fmt::format("<li><p>{}</p>", escaped(step.text));
      if (!step.caution.empty()) out += fmt::format("<p class=\"caution\">{}</p>", escaped(step.caution));
      out += "</li>\n";
    }
    out += "</ol>\n";
  }
  // On a narrow screen each row becomes a block; its cells then carry their titles.
  void operator()(const SheetTable& table) const {
    out += fmt::format("<table>\n<caption>{}</caption>\n<thead><tr>", escaped(table.caption));
    for (const std::string& title : table.titles)
      out += fmt::format("<th scope=\"col\">{}</th>", escaped(title));
    out += "</tr></thead>\n<tbody>\n";
    for (const auto& row : table.rows) {
      out += "<tr>";
      for (std::size_t i = 0; i < row.size(); ++i)
        out += i == 0
                   ? fmt::format("<th scope=\"row\">{}</th>", escaped(row[i]))
                   : fmt::format("<td data-title=\"{}\">{}</td>", escaped(table.titles[i]), escaped(row[i]));
      out += "</tr>\n";
    }
    out += "</tbody>\n</table>\n";
  }
  void operator()(const SheetPicture& picture) const {
    out += fmt::format(
        "<figure class=\"{}\"><img src=\"data:image/png;base64,{}\" width=\"{}\" height=\"{}\" alt=\"{}\"/>",
        picture.large ? "large" : "small", base64(picture.png), picture.width_px, picture.height_px,
        escaped(picture.alt));
    if (!picture.caption.empty()) out += fmt::format("<figcaption>{}</figcaption>", escaped(picture.caption));
    out += "</figure>\n";
  }
  void operator()(const HeightChart& chart) const {
    const auto share = [&](Length h) { return 100.0 * ((h - chart.least) / (chart.most - chart.least)); };
    out += fmt::format(
        "<p class=\"scale\"><span>{}</span><span>asked for: {}, the upright line</span><span>{}</span></p>\n",
        escaped(chart.least_words), escaped(chart.asked_words), escaped(chart.most_words));
    for (const HeightBar& bar : chart.bars) {
      std::string alt = bar.name + ".";
      for (const HeightBar::Part& part : bar.parts) alt += " " + part.words + ".";
      out += fmt::format("<p class=\"bar-name\">{}</p>\n<div class=\"bar\" role=\"img\" aria-label=\"{}\">",
                         escaped(bar.name), escaped(alt));
      for (const HeightBar::Part& part : bar.parts)
        out += fmt::format("<span class=\"{}\" style=\"width:{:.3f}%\"><b>{}</b></span>", class_of(part.fit),
                           share(part.to) - share(part.from), short_word(part.fit));
      out += fmt::format("<i style=\"left:{:.3f}%\"></i></div>\n", share(chart.asked));
    }
  }
  void operator()(const SignLine& line) const {
    out += fmt::format("<p class=\"sign\"><span>{}</span></p>\n", escaped(line.label));
  }
};

void write_section(std::string& out, const SheetSection& section) {
  out +=
      fmt::format("<section id=\"{0}\" aria-labelledby=\"{0}-heading\">\n<h2 id=\"{0}-heading\">{1}</h2>\n",
                  section.id, escaped(section.heading));
  for (const SheetCard& card : section.cards) {
    out += "<div class=\"card\">\n";
    if (!card.heading.empty()) out += fmt::format("<h3>{}</h3>\n", escaped(card.heading));
    for (const SheetBlock& block : card.blocks) std::visit(BlockWriter{out}, block);
    out += "</div>\n";
  }
  out += "</section>\n";
}

void write_head(std::string& out, const CustomerSheet& sheet) {
  out += fmt::format(
      "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" lang=\"en\">\n<head>\n<meta "
      "charset=\"utf-8\"/>\n"
      "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src "
      "'unsafe-inline'\"/>\n"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>{}</title>\n"
      "<style>{}</style>\n</head>\n<body>\n",
      escaped(sheet.title), kSheetStyle);
  out += fmt::format("<header>\n<h1>{}</h1>\n<p>{}</p>\n<p>{}</p>\n</header>\n", escaped(sheet.title),
                     escaped(sheet.question),
                     sheet.date.empty() ? "Undated" : fmt::format("Date: {}", escaped(sheet.date)));
}

void write_answer(std::string& out, const CustomerSheet& sheet) {
  out += fmt::format(
      "<section id=\"answer\" class=\"answer {}\" aria-labelledby=\"answer-heading\">\n"
      "<h2 id=\"answer-heading\">The answer</h2>\n<p class=\"loud\">{}</p>\n",
      class_of(sheet.answer.tone), escaped(sheet.answer.text));
  for (const std::string& more : sheet.answer_more) out += fmt::format("<p>{}</p>\n", escaped(more));
  out += "</section>\n<nav aria-label=\"Sections\"><ul>\n";
  for (const SheetSection& section : sheet.sections)
    out += fmt::format("<li><a href=\"#{}\">{}</a></li>\n", section.id, escaped(section.heading));
  out += "</ul></nav>\n";
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    switch (c) {
      case '&':
        out += "&#38;";
        break;
      case '<':
        out += "&#60;";
        break;
      case '>':
        out += "&#62;";
        break;
      case '"':
        out += "&#34;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += static_cast<unsigned char>(c) < 0x20 || c == 0x7F ? '?' : c;
    }
  }
  return out;
}

std::string base64(std::string_view bytes) {
  constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    const std::size_t left = std::min<std::size_t>(3, bytes.size() - i);
    std::uint32_t group = 0;
    for (std::size_t k = 0; k < 3; ++k)
      group = group << 8 | (k < left ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    for (std::size_t k = 0; k < 4; ++k) out += k <= left ? kLetters[group >> (18 - 6 * k) & 63U] : '=';
  }
  return out;
}

std::string sheet_html(const CustomerSheet& sheet) {
  std::string out;
  write_head(out, sheet);
  out += "<main>\n";
  write_answer(out, sheet);
  for (const SheetSection& section : sheet.sections) write_section(out, section);
  out += "</main>\n<footer>\n";
  for (const std::string& line : sheet.closing) out += fmt::format("<p>{}</p>\n", escaped(line));
  out += "</footer>\n</body>\n</html>\n";
  return out;
}

}  // namespace hosefit
