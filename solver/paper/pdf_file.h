// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <optional>
#include <string>
#include <string_view>

struct _cairo;  // as the drawing library names them; for .cpp files that draw
struct _cairo_surface;

namespace hosefit {

/// A PDF that is drawn into memory. The same drawing gives the same bytes: no date stands in it.
class PdfFile {
 public:
  /// Size of the first page in points.
  PdfFile(std::string_view title, double width, double height);
  ~PdfFile();
  PdfFile(const PdfFile&) = delete;
  PdfFile& operator=(const PdfFile&) = delete;

  _cairo* context() const { return context_; }
  /// Of the page that is begun.
  void set_page_size(double width, double height);
  /// The whole file; empty when the drawing library failed somewhere.
  std::optional<std::string> finish();

 private:
  std::string bytes_;
  _cairo_surface* surface_ = nullptr;
  _cairo* context_ = nullptr;
};

}  // namespace hosefit
