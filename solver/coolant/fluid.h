// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <string>

#include "solver/base/quantity.h"
#include "solver/base/result.h"

/// What the coolant is and how it behaves: density, viscosity, heat capacity, conductivity, vapour pressure.
/// Nothing here is clamped: a share or a temperature outside the range of the data is a Problem.
namespace hosefit {

enum class CoolantKind { water, ethylene_glycol, propylene_glycol };

/// A coolant and its share of glycol. Shares by mass and by volume are different numbers (50 % by volume of
/// ethylene glycol is 52.4 % by mass), so there is no constructor from a bare share: the factory names the
/// basis. Volume shares hold at 20 degC and follow the conversion table of ASHRAE Handbook Fundamentals 2001
/// (ethylene glycol: rows 20..60 % by mass; propylene glycol: 50 % by mass is 49.9 % by volume, other rows
/// from memory), linear between rows, good to 0.3 percentage points (propylene glycol 0.5).
class CoolantMix {
 public:
  static CoolantMix water() { return CoolantMix(CoolantKind::water, 0.0); }
  /// Glycol in 0 < share <= 0.60 by mass, the range of the property data; water only with share 0.
  static Result<CoolantMix> by_mass(CoolantKind kind, double share);
  static Result<CoolantMix> by_volume(CoolantKind kind, double share);

  CoolantKind kind() const { return kind_; }
  double mass_share() const { return mass_share_; }
  double volume_share() const;
  /// "52.4 % ethylene glycol by mass (50.0 % by volume)" or "water".
  std::string text() const;
  friend bool operator==(const CoolantMix&, const CoolantMix&) = default;

 private:
  CoolantMix(CoolantKind kind, double mass_share) : kind_(kind), mass_share_(mass_share) {}
  CoolantKind kind_;
  double mass_share_;
};

/// Relative half-widths of the properties, 0.01 = 1 %.
struct FluidAccuracy {
  double density = 0.0;
  double viscosity = 0.0;
  double heat_capacity = 0.0;
  double conductivity = 0.0;
  friend bool operator==(const FluidAccuracy&, const FluidAccuracy&) = default;
};

struct FluidProperties {
  Temperature temperature;
  double density_kg_m3 = 0.0;
  double viscosity_pa_s = 0.0;
  double heat_capacity_j_kg_k = 0.0;
  double conductivity_w_m_k = 0.0;
  FluidAccuracy accuracy;
};

double prandtl(const FluidProperties&);

/// Properties of the liquid, from the freezing point to 120 degC, with the accuracy told in the answer.
/// - Glycol: polynomials of A. Melinder, Properties of Secondary Working Fluids for Indirect Systems,
///   IIR 2010, up to 100 degC. From there to 120 degC the viscosity is continued with its logarithm straight
///   in 1/T through the 80 and 100 degC values, because the polynomial bends away. Accuracy, judged from the
///   ASHRAE 2001 tables: density 1 %, heat capacity 2.5 %, conductivity 5 %, viscosity 10 %; from 55 % glycol
///   by mass 1.2, 3 and 15 %; viscosity also 15 % above 100 and below 10 degC.
/// - Water: IAPWS R7-97, IAPWS 2008 viscosity and 2011 conductivity, tabulated each 10 K at 250 kPa, straight
///   between rows, viscosity as its logarithm in 1/T. With the interpolation: density 0.05 %, heat capacity
///   0.2 %, viscosity 1.5 %, conductivity 2 %.
Result<FluidProperties> fluid_properties(const CoolantMix&, Temperature);

/// Highest temperature fluid_properties() answers.
Temperature highest_fluid_temperature();

/// Where the first ice forms; Melinder 2010, within about 1 K. Water: 0 degC.
Temperature freezing_point(const CoolantMix&);

/// Absolute vapour pressure by Raoult's law: water from IAPWS-IF97 region 4 (0.03 %), ethylene glycol from
/// Perry 8th ed. table 2-8, propylene glycol from the same table (from memory). About 2 % for a mixture.
/// 0..150 degC.
Result<Pressure> vapour_pressure(const CoolantMix&, Temperature);

/// Temperature at which the vapour pressure equals `absolute`; about 1 K. Answers between 0 and 150 degC.
Result<Temperature> boiling_point(const CoolantMix&, Pressure absolute);

/// Boiling point under a cap that holds `cap_gauge` above the air at `altitude`.
Result<Temperature> boiling_point(const CoolantMix&, Pressure cap_gauge, Length altitude);

/// Air pressure of the ISO 2533 standard atmosphere; -500 to 6000 m.
Result<Pressure> air_pressure(Length altitude);

}  // namespace hosefit
