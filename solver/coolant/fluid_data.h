// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once
#include <array>
#include <cstddef>

/// Published numbers behind fluid.h. Only fluid.cpp includes this.
namespace hosefit::fluid_data {

/// Columns of Melinder's coefficient tables: degC, kg/m3, J/(kg K), W/(m K), ln(mPa s).
enum Property : std::size_t { freezing, density, heat_capacity, conductivity, log_viscosity };

struct Melinder {
  double base_percent;  ///< mass per cent from which x is counted
  double base_celsius;  ///< temperature from which y is counted
  std::array<std::array<double, 5>, 18> rows;
};

/// A. Melinder, Properties of Secondary Working Fluids for Indirect Systems, IIR Paris 2010.
// clang-format off
inline constexpr Melinder ethylene_glycol = {30.8462, 31.728, {{
    {{-15.25, 1034.0, 3737.0, 0.472, 0.4705}},
    {{-1.566e-06, -0.4781, 2.93, 0.0008903, -0.0255}},
    {{-2.278e-07, -0.002692, -0.004675, -1.058e-06, 0.0001782}},
    {{2.169e-09, 4.725e-06, -1.389e-05, -2.789e-09, -7.669e-07}},
    {{-0.808, 1.311, -17.99, -0.004286, 0.02471}},
    {{-1.339e-06, -0.006876, 0.1046, -1.473e-05, -0.0001171}},
    {{2.047e-08, 4.805e-05, -0.0004147, 1.059e-07, 1.052e-06}},
    {{-2.717e-11, 1.69e-08, 1.847e-07, -1.142e-10, -1.634e-08}},
    {{-0.01334, 7.49e-05, -0.09933, 1.747e-05, 3.328e-06}},
    {{6.322e-08, 7.855e-05, 0.0003516, 6.814e-08, 1.086e-06}},
    {{2.373e-10, -3.995e-07, 5.109e-06, -3.612e-09, 1.051e-08}},
    {{-2.183e-12, 4.982e-09, -7.138e-08, 2.365e-12, -6.475e-10}},
    {{-7.293e-05, -0.0001062, 0.00261, 3.017e-08, 1.659e-06}},
    {{1.764e-09, 1.229e-06, -1.189e-06, -2.412e-09, 3.157e-09}},
    {{-2.442e-11, -1.153e-08, -1.643e-07, 4.004e-11, 4.063e-10}},
    {{1.006e-06, -9.623e-07, 1.537e-05, -1.322e-09, 3.089e-08}},
    {{-7.662e-11, -7.211e-08, -4.272e-07, 2.555e-11, 1.831e-10}},
    {{1.14e-09, 4.891e-08, -1.618e-06, 2.678e-11, -1.865e-09}}}}};

inline constexpr Melinder propylene_glycol = {30.7031, 32.7083, {{
    {{-13.25, 1018.0, 3882.0, 0.4513, 0.6837}},
    {{-3.82e-05, -0.5406, 2.699, 0.0007955, -0.03045}},
    {{7.865e-07, -0.002666, -0.001659, 3.482e-08, 0.0002525}},
    {{-1.733e-09, 1.347e-05, -1.032e-05, -5.966e-09, -1.399e-06}},
    {{-0.6631, 0.7604, -13.04, -0.004795, 0.03328}},
    {{6.774e-06, -0.00945, 0.0507, -1.678e-05, -0.0003984}},
    {{-6.242e-08, 5.541e-05, -4.752e-05, 8.941e-08, 4.332e-06}},
    {{-7.819e-10, -1.343e-07, 1.522e-06, 1.493e-10, -1.86e-08}},
    {{-0.01094, -0.002498, -0.1598, 2.076e-05, 5.453e-05}},
    {{5.332e-08, 2.7e-05, 9.534e-05, 1.563e-07, -8.6e-08}},
    {{-4.169e-09, -4.018e-07, 1.167e-05, -4.615e-09, -1.593e-08}},
    {{3.288e-11, 3.376e-09, -4.87e-08, 9.897e-12, -4.465e-11}},
    {{-0.0002283, -0.000155, 0.0003539, -9.083e-08, -3.9e-06}},
    {{-1.131e-08, 2.829e-06, 3.102e-05, -2.518e-09, 1.054e-07}},
    {{1.918e-10, -7.175e-09, -2.95e-07, 6.543e-11, -1.589e-09}},
    {{-3.409e-06, -1.131e-06, 5e-05, -5.952e-10, -1.587e-08}},
    {{8.035e-11, -2.221e-08, -7.135e-07, -3.605e-11, 4.475e-10}},
    {{1.465e-08, 2.342e-08, -4.959e-07, 2.104e-11, 3.564e-09}}}}};
// clang-format on

struct WaterRow {
  double celsius;
  double density_kg_m3;
  double viscosity_pa_s;
  double heat_capacity_j_kg_k;
  double conductivity_w_m_k;
};

/// IAPWS R7-97 at 250 kPa, viscosity IAPWS 2008, conductivity IAPWS 2011.
inline constexpr std::array<WaterRow, 13> water_rows = {{
    {0.0, 999.9199, 0.001791418, 4218.688, 0.5557647},
    {10.0, 999.7726, 0.001305767, 4194.883, 0.5788733},
    {20.0, 998.2741, 0.001001551, 4184.331, 0.5980984},
    {30.0, 995.7182, 0.0007972187, 4179.617, 0.6144772},
    {40.0, 992.2893, 0.0006527496, 4178.186, 0.628574},
    {50.0, 988.1121, 0.0005465518, 4179.21, 0.6407135},
    {60.0, 983.2754, 0.0004660789, 4182.432, 0.6510954},
    {70.0, 977.8447, 0.0004035954, 4187.769, 0.6598542},
    {80.0, 971.8694, 0.000354098, 4195.189, 0.6670893},
    {90.0, 965.3865, 0.0003142209, 4204.69, 0.6728815},
    {100.0, 958.4239, 0.0002816252, 4216.302, 0.6773012},
    {110.0, 951.0012, 0.0002546406, 4230.107, 0.6804119},
    {120.0, 943.1314, 0.0002320469, 4246.239, 0.6822719},
}};

/// IAPWS R7-97, table 34.
inline constexpr std::array<double, 10> if97_region4 = {
    0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
    0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6,  -0.23855557567849,  0.65017534844798e3};

/// Perry's Chemical Engineers' Handbook, 8th ed., table 2-8, with T in K:
/// ln p[Pa] = c1 + c2/T + c3 ln T + c4 T^c5.
struct PerryVapour {
  double c1, c2, c3, c4, c5;
};
inline constexpr PerryVapour ethylene_vapour = {84.09, -10411.0, -8.1976, 1.6536e-18, 6.0};
/// From memory; gives 100.5 kPa at the normal boiling point of 187.6 degC.
inline constexpr PerryVapour propylene_vapour = {212.8, -15420.0, -28.109, 2.1564e-5, 2.0};

inline constexpr double water_kg_mol = 0.01801527;
inline constexpr double ethylene_glycol_kg_mol = 0.06206784;
inline constexpr double propylene_glycol_kg_mol = 0.07609442;

struct ShareRow {
  double mass;
  double volume;
};
/// ASHRAE Handbook Fundamentals 2001, conversion of mass to volume shares at 20 degC.
inline constexpr std::array<ShareRow, 6> ethylene_shares = {
    {{0.0, 0.0}, {0.2, 0.181}, {0.3, 0.277}, {0.4, 0.375}, {0.5, 0.476}, {0.6, 0.578}}};
/// The same table; all rows but 0.5 from memory.
inline constexpr std::array<ShareRow, 6> propylene_shares = {
    {{0.0, 0.0}, {0.2, 0.194}, {0.3, 0.294}, {0.4, 0.396}, {0.5, 0.499}, {0.6, 0.6}}};

}  // namespace hosefit::fluid_data
