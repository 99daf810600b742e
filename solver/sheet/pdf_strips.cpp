// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/sheet/pdf_strips.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace hosefit {
namespace {

constexpr double kBody = 9, kSmall = 8, kQuietGrey = 0.28;
constexpr double kBetween = 3.5, kBetweenColumns = 9;
constexpr double kSmallPicture = 225;  // across; the text stands beside it

Strip gap(double height, bool keep) {
  Strip out;
  out.height = height;
  out.keep_with_next = keep;
  return out;
}

// The mark at the left of what is set off: whole for what is bad, double for doubtful, dashed for cautions.
void mark(Strip& strip, Tone tone) {
  if (tone == Tone::bad) strip.boxes.push_back({0, 0, 4, strip.height, 0.1});
  if (tone == Tone::doubtful)
    for (const double left : {0.0, 2.8}) strip.boxes.push_back({left, 0, 1.2, strip.height, 0.1});
  if (tone == Tone::caution) strip.boxes.push_back({0, 1.2, 4, strip.height - 2.4, 0.1});
}

bool is_marked(Tone tone) {
  return tone == Tone::bad || tone == Tone::doubtful || tone == Tone::caution;
}

}  // namespace

struct StripMaker::Lines {
  PdfFont font{kBody, false};
  double indent = 0;
  double grey = 0;
  Tone tone = Tone::plain;
  std::string before;  // stands left of the first line
  bool keep = false;
};

void StripMaker::add_text(std::vector<Strip>& out, const std::string& text, const Lines& how) const {
  const double left = how.indent + (is_marked(how.tone) ? 9 : 0);
  const std::vector<std::string> lines = canvas_.wrapped(text, how.font, width_ - left);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    Strip strip;
    strip.height = PdfCanvas::line_height(how.font);
    // No single first or last line of a paragraph alone on a page.
    strip.keep_with_next = how.keep || i == 0 || i + 2 == lines.size();
    if (i + 1 == lines.size()) strip.keep_with_next = how.keep;
    strip.texts.push_back({left, 0, how.font, lines[i], how.grey});
    if (i == 0 && !how.before.empty()) strip.texts.push_back({how.indent - 13, 0, how.font, how.before, 0});
    mark(strip, how.tone);
    for (PdfBox& box : strip.boxes) box.left += how.indent;
    out.push_back(std::move(strip));
  }
  out.push_back(gap(kBetween, how.keep));
}

void StripMaker::add(std::vector<Strip>& out, const Paragraph& paragraph) const {
  Lines how;
  how.tone = paragraph.tone;
  how.font.bold = paragraph.tone == Tone::strong || paragraph.tone == Tone::bad;
  if (paragraph.tone == Tone::quiet) {
    how.font.size = kSmall;
    how.grey = kQuietGrey;
  }
  add_text(out, paragraph.text, how);
}

void StripMaker::add(std::vector<Strip>& out, const SheetList& list) const {
  Lines how;
  how.indent = 14;
  how.before = "\u2013";
  for (const std::string& item : list.items) add_text(out, item, how);
}

void StripMaker::add(std::vector<Strip>& out, const JobSteps& job) const {
  for (std::size_t i = 0; i < job.steps.size(); ++i) {
    Lines how;
    how.indent = 18;
    how.before = fmt::format("{}.", i + 1);
    how.keep = !job.steps[i].caution.empty();
    add_text(out, job.steps[i].text, how);
    if (job.steps[i].caution.empty()) continue;
    Lines caution;
    caution.indent = 18;
    caution.tone = Tone::caution;
    caution.font.size = kSmall + 0.5;
    add_text(out, job.steps[i].caution, caution);
  }
}

// Every column gets its longest word, as far as that goes, and a share of the rest by what it holds.
std::vector<double> StripMaker::column_widths(const SheetTable& table) const {
  std::vector<double> least(table.titles.size()), wanted(table.titles.size());
  const auto look_at = [&](std::size_t column, const std::string& text, bool bold) {
    const PdfFont font{kSmall, bold};
    wanted[column] = std::max(wanted[column], canvas_.text_width(text, font));
    for (std::size_t from = 0; from < text.size();) {
      const std::size_t to = std::min(text.find(' ', from), text.size());
      least[column] = std::max(least[column], canvas_.text_width(text.substr(from, to - from), font) + 0.5);
      from = to + 1;
    }
  };
  for (std::size_t c = 0; c < table.titles.size(); ++c) {
    look_at(c, table.titles[c], true);
    for (const auto& row : table.rows) look_at(c, row[c], c == 0);
    least[c] = std::min(least[c], width_ / 3);
    wanted[c] = std::clamp(wanted[c], least[c], 0.8 * width_);
  }
  const double room = width_ - kBetweenColumns * static_cast<double>(table.titles.size() - 1);
  const double sum_least = std::accumulate(least.begin(), least.end(), 0.0);
  double sum_more = 0;
  for (std::size_t c = 0; c < least.size(); ++c) sum_more += wanted[c] - least[c];
  for (std::size_t c = 0; c < least.size(); ++c)
    least[c] = sum_least >= room
                   ? least[c] * room / sum_least
                   : least[c] + (room - sum_least) * (sum_more > 0 ? (wanted[c] - least[c]) / sum_more
                                                                   : 1.0 / double(least.size()));
  return least;
}

void StripMaker::add_row(std::vector<Strip>& out, const std::vector<std::string>& cells,
                         const std::vector<double>& widths, bool head) const {
  std::vector<Strip> lines(1);
  double left = 0;
  for (std::size_t c = 0; c < cells.size(); ++c) {
    const PdfFont font{kSmall, head || c == 0};
    const std::vector<std::string> wrapped = canvas_.wrapped(cells[c], font, widths[c]);
    if (lines.size() < wrapped.size()) lines.resize(wrapped.size());
    for (std::size_t i = 0; i < wrapped.size(); ++i) lines[i].texts.push_back({left, 0, font, wrapped[i], 0});
    left += widths[c] + kBetweenColumns;
  }
  for (Strip& line : lines) {
    line.height = PdfCanvas::line_height({kSmall, false});
    line.keep_with_next = true;
  }
  // A row is torn only when it is taller than a page.
  if (static_cast<double>(lines.size()) * lines.front().height > 0.8 * page_height_)
    for (Strip& line : lines) line.keep_with_next = false;
  out.insert(out.end(), lines.begin(), lines.end());
  Strip rule = gap(4, head);
  rule.boxes.push_back({0, 1.5, width_, head ? 1.0 : 0.4, head ? 0.0 : 0.5});
  out.push_back(rule);
}

void StripMaker::add(std::vector<Strip>& out, const SheetTable& table) const {
  Lines caption;
  caption.font.size = kSmall;
  caption.grey = kQuietGrey;
  caption.keep = true;
  add_text(out, table.caption, caption);
  const std::vector<double> widths = column_widths(table);
  std::vector<Strip> head;
  add_row(head, table.titles, widths, true);
  out.insert(out.end(), head.begin(), head.end());
  const std::size_t first_row = out.size();
  for (const auto& row : table.rows) add_row(out, row, widths, false);
  for (std::size_t i = first_row; i < out.size(); ++i) out[i].again = head;
  out.push_back(gap(kBetween, false));
}

void StripMaker::add(std::vector<Strip>& out, const SheetPicture& picture) const {
  const double width = picture.large ? width_ : kSmallPicture;
  Strip strip;
  strip.height = width * picture.height_px / picture.width_px;
  strip.pictures.push_back({0, 0, width, strip.height, &picture.png});
  strip.keep_with_next = !picture.caption.empty();
  out.push_back(strip);
  out.push_back(gap(2, !picture.caption.empty()));
  if (!picture.caption.empty()) add(out, Paragraph{Tone::quiet, picture.caption});
}

void StripMaker::add(std::vector<Strip>& out, const HeightChart& chart) const {
  const PdfFont font{kSmall, false};
  const auto at = [&](Length h) { return width_ * ((h - chart.least) / (chart.most - chart.least)); };
  add(out,
      Paragraph{Tone::quiet, fmt::format("From {} at the left to {} at the right; the upright line is what "
                                         "was asked for, {}.",
                                         chart.least_words, chart.most_words, chart.asked_words)});
  for (const HeightBar& bar : chart.bars) {
    Lines name;
    name.font.bold = true;
    name.keep = true;
    add_text(out, bar.name, name);
    Strip strip;
    strip.height = 22;
    for (const HeightBar::Part& part : bar.parts) {
      const double left = at(part.from), width = at(part.to) - left;
      strip.boxes.push_back({left, 4, width, 14, 1, part.fit});
      const double words = canvas_.text_width(short_word(part.fit), font);
      if (words + 6 > width) continue;  // the table below tells it
      const double from = left + (width - words) / 2;
      strip.boxes.push_back({from - 2, 5.5, words + 4, 11, 1});
      strip.texts.push_back({from, 5.6, font, std::string(short_word(part.fit)), 0});
    }
    strip.boxes.push_back({at(chart.asked) - 0.9, 1, 1.8, 20, 0});
    out.push_back(strip);
    out.push_back(gap(kBetween, false));
  }
}

void StripMaker::add(std::vector<Strip>& out, const SignLine& line) const {
  Strip rule = gap(30, true);
  rule.boxes.push_back({0, 29, 0.6 * width_, 0.6, 0});
  out.push_back(rule);
  add(out, Paragraph{Tone::quiet, line.label});
}

// A small picture with all words of its card beside it, as one strip; false when that does not fit on a page.
bool StripMaker::beside_picture(std::vector<Strip>& out, const SheetCard& card) const {
  if (card.blocks.empty()) return false;
  const auto* picture = std::get_if<SheetPicture>(&card.blocks.front());
  if (picture == nullptr || picture->large) return false;
  const double aside = kSmallPicture + 12;
  const StripMaker narrow(canvas_, width_ - aside, page_height_);
  SheetCard words = card;
  words.blocks.erase(words.blocks.begin());
  const std::vector<Strip> text = narrow.card(words);
  Strip strip;
  double top = 0;
  for (const Strip& line : text) {
    for (PdfText t : line.texts) {
      t.left += aside;
      t.top += top;
      strip.texts.push_back(std::move(t));
    }
    for (PdfBox b : line.boxes) {
      b.left += aside;
      b.top += top;
      strip.boxes.push_back(b);
    }
    top += line.height;
  }
  const double tall = kSmallPicture * picture->height_px / picture->width_px;
  strip.pictures.push_back({0, 4, kSmallPicture, tall, &picture->png});
  strip.height = std::max(top, tall + 8) + 4;
  if (strip.height > 0.8 * page_height_) return false;
  out.push_back(strip);
  return true;
}

std::vector<Strip> StripMaker::card(const SheetCard& card) const {
  std::vector<Strip> out;
  if (beside_picture(out, card)) return out;
  out.push_back(gap(4, true));
  std::vector<Strip> continued;
  if (!card.heading.empty()) {
    Lines how;
    how.font = {10.5, true};
    how.keep = true;
    add_text(out, card.heading, how);
    add_text(continued, card.heading + " (continued)", how);
  }
  for (const SheetBlock& block : card.blocks) std::visit([&](const auto& b) { add(out, b); }, block);
  for (Strip& strip : out) strip.again.insert(strip.again.begin(), continued.begin(), continued.end());
  out.push_back(gap(5, false));
  return out;
}

std::vector<Strip> StripMaker::heading(const std::string& text) const {
  std::vector<Strip> out{gap(8, true)};
  Lines how;
  how.font = {13, true};
  how.keep = true;
  add_text(out, text, how);
  Strip rule = gap(3, true);
  rule.boxes.push_back({0, 0, width_, 0.8, 0});
  out.push_back(rule);
  return out;
}

std::vector<Strip> StripMaker::title(const CustomerSheet& sheet) const {
  std::vector<Strip> out;
  Lines how;
  how.font = {17, true};
  add_text(out, sheet.title, how);
  add(out, Paragraph{Tone::plain, sheet.question});
  add(out, Paragraph{Tone::plain, sheet.date.empty() ? std::string("Undated") : "Date: " + sheet.date});
  Strip rule = gap(6, true);
  rule.boxes.push_back({0, 0, width_, 2, 0});
  out.push_back(rule);
  return out;
}

std::vector<Strip> StripMaker::answer(const CustomerSheet& sheet) const {
  std::vector<Strip> out{gap(4, true)};
  Lines how;
  how.font = {13, true};
  how.tone = sheet.answer.tone == Tone::good ? Tone::plain : sheet.answer.tone;
  add_text(out, sheet.answer.text, how);
  for (const std::string& more : sheet.answer_more) add(out, Paragraph{Tone::plain, more});
  out.push_back(gap(4, false));
  return out;
}

std::vector<Strip> StripMaker::closing(const CustomerSheet& sheet) const {
  std::vector<Strip> out;
  Strip rule = gap(6, true);
  rule.boxes.push_back({0, 0, width_, 2, 0});
  out.push_back(rule);
  for (const std::string& line : sheet.closing) add(out, Paragraph{Tone::quiet, line});
  return out;
}

}  // namespace hosefit
