// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <optional>
#include <string>
#include <vector>

#include "solver/paper/dimension_lines.h"
#include "solver/paper/label_places.h"
#include "solver/paper/radiator_matter.h"
#include "solver/paper/view_outline.h"

/// Where everything of the radiator's views stands on paper. No drawing library in it.
namespace hosefit {

/// Full size and reductions of ISO 5455: a drawing of 1 mm for so many mm of the radiator.
inline constexpr std::array kScales{1, 2, 5, 10, 20, 50, 100};

/// An outline in mm of paper, from the view's origin; those farther away come first.
struct Patch {
  enum class Kind { solid, tube, bead, mouth } kind = Kind::solid;
  Outline outline;
  double near_mm = 0;
};

struct NeckInView {
  std::size_t neck = 0;        ///< index into RadiatorMatter::necks
  Vec2 end, root;              ///< of its straight, on paper
  double radius = 0;           ///< half its outside diameter, on paper
  std::optional<Vec2> before;  ///< its end as written, when it is moved
  LabelPlace label;
  std::vector<std::string> words;  ///< beside its number
};

/// Two datum letters of the sheet belong to each view: where their edges' extension lines end.
struct DatumMark {
  char letter = 'A';
  Vec2 at;   ///< where the triangle stands
  Vec2 out;  ///< unit, away from the view
};

struct ViewLayout {
  ViewAxes axes;
  std::vector<Patch> patches;  ///< what is, as it is to be painted
  std::vector<Patch> before;   ///< as written, of what is moved
  std::vector<NeckInView> necks;
  std::vector<DimensionLine> dimensions;
  std::vector<DatumMark> datums;
  std::optional<LabelPlace> as_written;  ///< one label for all that is dashed
  Eigen::AlignedBox2d outline;           ///< of all patches
  Eigen::AlignedBox2d box;               ///< of everything
};

/// Seen from the engine, and at the right of it seen from the right: third-angle projection (ISO 128-3, ASME
/// Y14.3), so that in both views the same is at the same height.
struct RadiatorLayout {
  int scale = 1;  ///< 1 : scale
  ViewLayout rear, side;
  Vec2 rear_at, side_at;  ///< of the views' origins, from the lower left of all
  Vec2 size;
};

/// Figures as they stand on the drawing: "435.0", or with inches "435.0 [17.13]".
std::string drawn_figure(double mm, LengthUnit unit);

RadiatorLayout radiator_layout(const RadiatorMatter& matter, int scale, LengthUnit unit,
                               const TextWidth& width_of);

/// At the largest of kScales at which it goes into the field with no words over others; empty when there is
/// none.
std::optional<RadiatorLayout> largest_layout(const RadiatorMatter& matter, const Vec2& field_mm,
                                             LengthUnit unit, const TextWidth& width_of);

inline constexpr double kLabel_mm = 2.4;    ///< height of the font in labels
inline constexpr double kBalloon_mm = 2.6;  ///< radius of the ring around a neck's number
inline constexpr double kDatum_mm = 4.2;    ///< side of the box around a datum's letter
inline constexpr double kViewTitle_mm = 7;  ///< height kept over both views
inline constexpr double kScaleBar_mm = 8;   ///< height kept under them
inline constexpr std::string_view kAsWritten = "as written";

}  // namespace hosefit
