// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

/// Friction of fully developed flow in a round bore. Reynolds numbers are on the bore, relative roughness is
/// roughness height over bore; all numbers here are pure.
namespace hosefit {

/// Highest Reynolds number called laminar and lowest called turbulent; between them no published law holds.
inline constexpr double highest_laminar_reynolds = 2300.0;
inline constexpr double lowest_turbulent_reynolds = 4000.0;

/// Darcy friction factor (four times Fanning's).
/// - Re <= 2300: 64/Re.
/// - Re >= 4000: Colebrook, J. Inst. Civ. Eng. 11 (1939) 133, with 3.7 and 2.51, solved by Newton to 1e-12.
/// - Between: straight in Re between the two end values, so that the network meets no jump; that value is no
///   prediction, friction_band() says what is known.
///
/// Requires Re > 0 and 0 <= relative_roughness <= 0.1 (asserted).
double friction_factor(double reynolds, double relative_roughness);

/// Colebrook's friction factor at any Re >= 1000, also below its own range, where it bounds the transition.
double colebrook_friction_factor(double reynolds, double relative_roughness);

/// What the friction factor may be. Laminar: exact. Turbulent: +-10 %, the usual quotation for Colebrook
/// against measured pipe (from memory). Between 2300 and 4000: from 64/Re to Colebrook.
struct FrictionBand {
  double low = 0.0;
  double nominal = 0.0;
  double high = 0.0;
  bool transitional = false;
};
FrictionBand friction_band(double reynolds, double relative_roughness);

/// Darcy friction factor of laminar flow in a bent bore, C. M. White, Proc. R. Soc. A 123 (1929) 645:
/// 64/Re / (1 - (1 - (11.6/De)^0.45)^2.2), De = Re sqrt(bore / (2 bend_radius)); 64/Re for De <= 11.6.
/// Requires Re > 0 and radius_over_bore > 0 (asserted).
double curved_laminar_friction_factor(double reynolds, double radius_over_bore);

}  // namespace hosefit
