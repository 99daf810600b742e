// SPDX-License-Identifier: GPL-3.0-or-later
#include "solver/model/moulded_shape.h"

#include <algorithm>
#include <optional>

#include "solver/model/make.h"

namespace hosefit {

Length whole_length(const MouldedShape& shape) {
  Length whole;
  for (const Length straight : shape.straights) whole = whole + straight;
  for (std::size_t i = 0; i < shape.radii.size(); ++i) whole = whole + shape.angles[i].rad() * shape.radii[i];
  return whole;
}

MouldedShape reversed(MouldedShape shape) {
  std::reverse(shape.straights.begin(), shape.straights.end());
  std::reverse(shape.radii.begin(), shape.radii.end());
  std::reverse(shape.angles.begin(), shape.angles.end());
  std::reverse(shape.turns.begin(), shape.turns.end());
  return shape;
}

Length least_radius(const Stock& stock) {
  std::optional<Length> least;
  const auto take = [&](Length radius) { least = least ? std::min(*least, radius) : radius; };
  for (const Length radius : stock.radii) take(radius);
  for (const MouldedShape& shape : stock.shapes)
    for (const Length radius : shape.radii) take(radius);
  return least.value_or(Length{});
}

const MouldedShape* shape_named(const Stock& stock, std::string_view name) {
  const auto found = std::find_if(stock.shapes.begin(), stock.shapes.end(),
                                  [&](const MouldedShape& shape) { return shape.name == name; });
  return found == stock.shapes.end() ? nullptr : &*found;
}

double price_of(const Stock& stock, const MouldedShape& shape) {
  return shape.price > 0 ? shape.price : stock.price;
}

}  // namespace hosefit
