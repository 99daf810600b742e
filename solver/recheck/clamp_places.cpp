// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/recheck/clamp_places.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace hosefit::recheck {
namespace {

constexpr double kHousing_mm = 35;  // SAE J1508 type F envelope, second-hand
constexpr double kBeadZone_mm = 6, kBehindBand_mm = 3, kRatherBehind_mm = 6, kOffBeadZone_mm = 3;
constexpr double kWideBand_mm = 13.5, kNarrowBand_mm = 9;
constexpr double kMostJoinerGap_mm = 20;  // hose ends farther apart are no joint
constexpr double kSame_mm = 1e-5, kSawCut_mm = 0.01;

// From the hose's cut end to the middle of the band: midway between cut end and bead zone, or with 6 mm of
// hose behind it where that leaves 3 mm to the bead zone (common practice, no source). A narrow band where a
// wide one has no room; half way where none has.
double band_from_end_mm(double engagement_mm) {
  for (const double band : {kWideBand_mm, kNarrowBand_mm}) {
    const double room = engagement_mm - kBeadZone_mm - band;
    if (room < kBehindBand_mm - 1e-9) continue;
    const double rather = std::min(kRatherBehind_mm, room - kOffBeadZone_mm);
    return std::max(kBehindBand_mm, std::max(room / 2, rather)) + band / 2;
  }
  return engagement_mm / 2;
}

ClampPlace on_neck(const Bay& bay, const Tube& tube, bool at_start) {
  const PlacedLine& line = bay.lines[tube.line];
  const RecordedLine& recorded = *tube.recorded;
  const double engagement = at_start ? recorded.engagement_from_mm : recorded.engagement_to_mm;
  ClampPlace place;
  place.neck = at_start ? line.from : line.to;
  const Neck& neck = bay.necks[*place.neck].neck;
  place.where = "at " + neck.name;
  place.piece = at_start || recorded.pieces.empty() ? 0 : recorded.pieces.size() - 1;
  place.at_start = at_start;
  place.from_end_mm = band_from_end_mm(engagement);
  const double behind = engagement - place.from_end_mm;
  place.s_mm = at_start ? -behind : tube.length_mm + behind;
  place.outside_mm = at_start ? tube.over_from_mm : tube.over_to_mm;
  place.band_mm = neck.end_mm - behind * neck.outward;
  place.axis = neck.outward;
  return place;
}

/// Lays the recorded pieces along the line, from the first cut end to the last.
class Laying {
 public:
  explicit Laying(const Tube& tube)
      : tube_(tube), line_(*tube.recorded), gap_mm_(joiner_gap_mm()), s_mm_(-line_.engagement_from_mm) {}

  ClampPlaces places() {
    const auto& pieces = line_.pieces;
    if (pieces.size() % 2 == 0) refuse("end on no hose");
    for (std::size_t i = 0; i < pieces.size() && out_.faults.empty(); ++i) {
      const bool held = pieces[i].what == "joiner" || pieces[i].what == "tube";
      if (held != (i % 2 == 1))
        refuse("are not hose and what it is pushed over in turn");
      else if (held)
        lay_held(i);
      else
        s_mm_ += pieces[i].cut_mm;
    }
    const double end = tube_.length_mm + line_.engagement_to_mm;
    if (out_.faults.empty() && !(std::abs(s_mm_ - end) <= kSawCut_mm))
      refuse(fmt::format("end {:.2f} mm from where the line ends", std::abs(s_mm_ - end)));
    if (!out_.faults.empty()) out_.list.clear();
    out_.faults.insert(out_.faults.end(), loose_.begin(), loose_.end());
    return std::move(out_);
  }

 private:
  void refuse(const std::string& how) {
    out_.faults.push_back({"the pieces " + how + ", so that clamps inside the line have no place"});
  }
  // What all pieces leave of the line, shared by the joiners.
  double joiner_gap_mm() const {
    double left = tube_.length_mm + line_.engagement_from_mm + line_.engagement_to_mm;
    int joiners = 0;
    for (const RecordedPiece& piece : line_.pieces)
      if (piece.what == "joiner")
        ++joiners;
      else
        left -= piece.cut_mm;
    return joiners > 0 ? left / joiners : 0;
  }
  void lay_held(std::size_t i) {
    const RecordedPiece& piece = line_.pieces[i];
    const bool joiner = piece.what == "joiner";
    if (joiner && !(gap_mm_ >= -kSame_mm && gap_mm_ <= kMostJoinerGap_mm))
      return refuse(fmt::format("leave {:.2f} mm between two hose ends", gap_mm_));
    const double inside = joiner ? (piece.cut_mm - gap_mm_) / 2 : tube_.stock->cuff_mm;
    const double least = tube_.stock->bore_mm >= 25 ? 28 : 20;
    if (joiner && !(inside >= least - kSame_mm))
      loose_.push_back(
          {fmt::format("a hose is pushed {:.1f} mm over the joiner at {:.1f} mm along, "
                       "{:g} mm required",
                       inside, s_mm_, least)});
    add(i - 1, false, inside, s_mm_ - inside);
    s_mm_ += joiner ? gap_mm_ : piece.cut_mm - 2 * inside;
    add(i + 1, true, inside, s_mm_);
  }
  // A hose end that covers `inside` from there on.
  void add(std::size_t hose, bool at_start, double inside, double from) {
    const double to = from + inside;
    if (!(inside > 0) || from < -kSame_mm || to > tube_.length_mm + kSame_mm || bends_between(from, to))
      return out_.faults.push_back(
          {fmt::format("from {:.1f} to {:.1f} mm along a hose is pushed over another piece, and the line is "
                       "not straight there",
                       from, to)});
    ClampPlace place;
    place.piece = hose;
    place.at_start = at_start;
    place.from_end_mm = band_from_end_mm(inside);
    place.s_mm = at_start ? from + place.from_end_mm : to - place.from_end_mm;
    place.where = fmt::format("at {:.1f} mm along", place.s_mm);
    place.outside_mm = outside_at_mm(tube_, place.s_mm);
    place.band_mm = at(line_.curve, place.s_mm);
    place.axis = direction(line_.curve, place.s_mm);
    out_.list.push_back(std::move(place));
  }
  bool bends_between(double from, double to) const {
    double begin = 0;
    for (const CurvePiece& piece : line_.curve) {
      const double end = begin + length_mm(piece);
      if (std::holds_alternative<ArcPiece>(piece) && end > from + kSame_mm && begin < to - kSame_mm)
        return true;
      begin = end;
    }
    return false;
  }

  const Tube& tube_;
  const RecordedLine& line_;
  double gap_mm_ = 0, s_mm_ = 0;
  ClampPlaces out_;
  std::vector<Fault> loose_;  // these leave every clamp its place
};

}  // namespace

ClampPlaces clamp_places(const Bay& bay, const Tube& tube) {
  ClampPlaces out;
  if (tube.recorded->pieces.size() > 1) out = Laying(tube).places();
  out.list.insert(out.list.begin(), on_neck(bay, tube, true));
  out.list.push_back(on_neck(bay, tube, false));
  return out;
}

const RecordedClamp* recorded_for(const Bay& bay, const RecordedLine& line, const ClampPlace& place) {
  for (const RecordedClamp& clamp : line.clamps) {
    const bool here = clamp.neck.has_value() == place.neck.has_value() && clamp.piece == place.piece &&
                      clamp.at_start == place.at_start;
    if (here && (!place.neck || *clamp.neck == bay.necks[*place.neck].neck.name)) return &clamp;
  }
  return nullptr;
}

StraightPiece housing_at(const ClampPlace& place, double clock_rad) {
  const V3 towards = std::abs(place.axis.z()) > 0.9 ? V3::UnitX() : V3::UnitZ();
  const V3 zero = (towards - towards.dot(place.axis) * place.axis).normalized();
  const V3 radial = turned(zero, place.axis, clock_rad);
  const V3 middle = place.band_mm + (place.outside_mm / 2 + kHousingRadius_mm) * radial;
  const V3 half = place.axis.cross(radial) * (kHousing_mm / 2 - kHousingRadius_mm);
  return {middle - half, middle + half};
}

}  // namespace hosefit::recheck
