// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <numbers>
#include <string>
#include <vector>

/// big_bay FROM TO TRIANGLES: copies a vehicle folder and adds an open, wavy sheet below the bay as a mesh of
/// about so many triangles, as a scan of a floor would be. It stands clear of every line, so that the answers
/// stay.
namespace {

struct Triangle {
  float normal[3], corner[3][3];
};

float height(double x, double y) {
  return static_cast<float>(-160 + 18 * std::sin(x / 37) * std::cos(y / 29) + 6 * std::sin(x / 7 + y / 5));
}

std::vector<Triangle> sheet(long triangles) {
  const long side = std::max(1L, std::lround(std::sqrt(static_cast<double>(triangles) / 2)));
  const auto at = [&](long i, long j, float* out) {
    const double x = -150 + 1200.0 * static_cast<double>(i) / static_cast<double>(side);
    const double y = -560 + 1120.0 * static_cast<double>(j) / static_cast<double>(side);
    out[0] = static_cast<float>(x);
    out[1] = static_cast<float>(y);
    out[2] = height(x, y);
  };
  std::vector<Triangle> out;
  for (long i = 0; i < side; ++i)
    for (long j = 0; j < side; ++j) {
      Triangle a{}, b{};
      at(i, j, a.corner[0]), at(i + 1, j, a.corner[1]), at(i + 1, j + 1, a.corner[2]);
      at(i, j, b.corner[0]), at(i + 1, j + 1, b.corner[1]), at(i, j + 1, b.corner[2]);
      out.push_back(a);
      out.push_back(b);
    }
  return out;
}

void write_stl(const std::filesystem::path& path, const std::vector<Triangle>& triangles) {
  std::ofstream out(path, std::ios::binary);
  out << std::string(80, ' ');
  const auto count = static_cast<std::uint32_t>(triangles.size());
  out.write(reinterpret_cast<const char*>(&count), 4);
  for (const Triangle& t : triangles) {
    out.write(reinterpret_cast<const char*>(&t), 48);
    out.write("\0\0", 2);
  }
}

}  // namespace

int main(int count, char** words) {
  if (count != 4) return std::cerr << "big_bay FROM TO TRIANGLES\n", 2;
  const std::filesystem::path from(words[1]), to(words[2]);
  std::filesystem::create_directories(to);
  write_stl(to / "floor.stl", sheet(std::strtol(words[3], nullptr, 10)));
  std::ifstream in(from / "vehicle.yaml");
  std::ofstream out(to / "vehicle.yaml");
  for (std::string line; std::getline(in, line);) {
    out << line << '\n';
    if (line == "obstacles:")
      out << "  - {name: floor scan, hazard: smooth_metal, measured: scan, shape: {mesh: {file: floor.stl, "
             "unit: mm}}}\n";
  }
  return out.good() ? 0 : 4;
}
