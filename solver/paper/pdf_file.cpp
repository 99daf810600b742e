// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/paper/pdf_file.h"

#include <cairo-pdf.h>

namespace hosefit {
namespace {

cairo_status_t append(void* out, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(out)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

PdfFile::PdfFile(std::string_view title, double width, double height)
    : surface_(cairo_pdf_surface_create_for_stream(append, &bytes_, width, height)) {
  cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_TITLE, std::string(title).c_str());
  cairo_pdf_surface_set_metadata(surface_, CAIRO_PDF_METADATA_CREATE_DATE, nullptr);
  context_ = cairo_create(surface_);
}
PdfFile::~PdfFile() {
  cairo_destroy(context_);
  cairo_surface_destroy(surface_);
}

void PdfFile::set_page_size(double width, double height) {
  cairo_pdf_surface_set_size(surface_, width, height);
}

std::optional<std::string> PdfFile::finish() {
  cairo_surface_finish(surface_);
  const bool drawn = cairo_status(context_) == CAIRO_STATUS_SUCCESS &&
                     cairo_surface_status(surface_) == CAIRO_STATUS_SUCCESS;
  return drawn ? std::optional(bytes_) : std::nullopt;
}

}  // namespace hosefit
