// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

/// Effectiveness of a crossflow radiator, both streams unmixed. Two forms are in print and differ by up to
/// 0.011; every user names the one it takes.
namespace hosefit {

enum class CrossflowForm {
  exact,        ///< series of J. L. Mason, Proc. 2nd U.S. Nat. Congr. Appl. Mech. (1954) 801
  approximate,  ///< 1 - exp(NTU^0.22/Cr (exp(-Cr NTU^0.78) - 1)), as most textbooks print it
};

/// Heat moved over the most that could be moved. `transfer_units` = UA / smaller capacity rate,
/// `capacity_ratio` = smaller over larger capacity rate. Requires transfer_units >= 0, 0 <= capacity_ratio <=
/// 1 and capacity_ratio transfer_units <= 500 (asserted). The exact form is good to 1e-12.
double crossflow_effectiveness(CrossflowForm, double transfer_units, double capacity_ratio);

struct RadiatorSide {
  double ua_w_k = 0.0;
  double air_capacity_w_k = 0.0;  ///< air mass flow times its heat capacity
  CrossflowForm form = CrossflowForm::exact;
};

struct RadiatorHeat {
  double effectiveness = 0.0;
  double watts_per_kelvin = 0.0;  ///< heat for each kelvin between coolant inlet and air inlet
};
/// `coolant_capacity_w_k` is coolant mass flow times heat capacity; 0 gives no heat.
RadiatorHeat radiator_heat(const RadiatorSide&, double coolant_capacity_w_k);

}  // namespace hosefit
