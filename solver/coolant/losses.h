// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include "solver/base/quantity.h"

/// Loss coefficients of bends, changes of bore and corrugated hose: pure numbers K with
/// loss = K density velocity^2 / 2. Total-pressure losses; velocity heads gained or given back are not in
/// them.
namespace hosefit {

/// A bend of round bore between long straight tangents.
struct BendLoss {
  double total = 0.0;   ///< the whole bend, friction of the curved length included
  double excess = 0.0;  ///< what a bend costs beyond a straight smooth bore of the same centreline length
  double relative_band = 0.0;  ///< 0.30 for Re 2e4..2e5, 0.40 elsewhere: spread of four methods
  bool within_data = false;    ///< Re 2e4..4e5 and radius 0.5..25 bores
};

/// Smooth bends by H. Ito, J. Basic Eng. 82 (1960) 131, theta in degrees, in the constants on the bore D.
/// - Re (D/r)^2 > 364: total = 0.00431 alpha theta Re^-0.17 (r/D)^0.84. (The original, on the pipe radius,
///   prints 0.00241 and R/a; the two sets differ by 0.2 % at most.)
/// - Below that: total = 0.01746 alpha f_c theta r/D with the curved-pipe friction f_c of Ito, J. Basic Eng.
///   81 (1959) 123 (from memory), raised by 0.5 % so that the two branches meet at 364.
/// - alpha is known at 45, 90 and 180 deg, straight in the angle between, held below 45 and above 180.
///   By that tight bends (r/D 1.5) come out up to 2 % lower at 180 than at 150 deg.
/// - Below Re 2300 the bend is laminar, curved-pipe friction of White 1929, low confidence; straight in Re
///   between 2300 and 4000.
///
/// The excess subtracts the friction of a smooth straight bore, so a line adds its own friction over the
/// whole centreline and counts nothing twice. Never below zero. Requires reynolds > 0, radius_over_bore >=
/// 0.5, turn >= 0 (asserted).
BendLoss bend_loss(double reynolds, double radius_over_bore, Angle turn);

/// Two bends with less straight than this many bores between them do not add up simply: +-30 % (judgement).
inline constexpr double bends_interact_below_bores = 10.0;

/// A change of bore in the direction of flow, on the velocity in the SMALLER bore. `cone` is the total angle
/// of the cone, 180 deg for a sudden step; b is the ratio of the bores, below 1.
/// - Wider: Borda-Carnot (1 - b^2)^2; below 45 deg times 2.6 sin(cone/2) (Crane TP-410).
/// - Narrower: 0.5 (1 - b^2) sqrt(sin(cone/2)); below 45 deg 0.8 sin(cone/2) (1 - b^2) (Crane TP-410).
///
/// Within 30 % of three published sharp-step methods for b = 0.8..0.95 and of a published cone (losses_test).
/// Requires bores > 0 and 0 < cone <= 180 deg (asserted).
double bore_change_loss(Length from_bore, Length to_bore, Angle cone);

/// Corrugated hose as a chain of expansions: W. Hawthorne and H. von Helms, Product Engineering, June 1963
/// (read second-hand). The equivalent Darcy friction factor K D/S, K = (1 - (D/(D + 0.438 S))^2)^2, does not
/// depend on Re. Requires bore > 0 and pitch > 0 (asserted).
double corrugated_friction_factor(Length bore, Length pitch);

/// Corrugated hose against smooth hose: the loss may lie anywhere between these multiples (trade practice,
/// from memory; only a measurement of the hose narrows it).
inline constexpr double corrugated_low_multiple = 2.0;
inline constexpr double corrugated_high_multiple = 5.0;

}  // namespace hosefit
