#include "modeler/base/units.hpp"

#include <gtest/gtest.h>

#include <numbers>
#include <thread>

#include "modeler/base/number_text.hpp"
#include "modeler/base/udunits.hpp"

namespace kerfkiln {
namespace {

using enum Dimension;

double read(const char* text, Dimension d) {
  const Result<double> r = parse_quantity(text, d);
  EXPECT_TRUE(r) << text << ": " << (r ? "" : r.findings().front().message);
  return r ? *r : std::numeric_limits<double>::quiet_NaN();
}
std::string code(std::string_view text, Dimension d) {
  const Result<double> r = parse_quantity(text, d);
  return r ? "read" : r.findings().front().code;
}

// Every spelling the design page promises. Factors: NIST SP 811 appendix B.8 (in, lb, lbf, ft2, ft3, oz exact).
TEST(Units, PromisedSpellings) {
  EXPECT_EQ(read("18 mm", length), 18);
  EXPECT_EQ(read("4 cm", length), 40);
  EXPECT_DOUBLE_EQ(read("1 1/2 in", length), 38.1);
  EXPECT_DOUBLE_EQ(read("3/4 in", length), 19.05);
  EXPECT_DOUBLE_EQ(read("18 1/2 in", length), 469.9);
  EXPECT_DOUBLE_EQ(read("1-1/2 in", length), 38.1);
  EXPECT_DOUBLE_EQ(read("-1/4 in", length), -6.35);
  EXPECT_DOUBLE_EQ(read("-1 1/4 in", length), -31.75);
  EXPECT_NEAR(read("1.8 lb/ft3", density), 28.833, 5e-4);  // 1 lb/ft3 = 16.01846 kg/m3
  EXPECT_EQ(read("65 kg/m3", density), 65);
  EXPECT_NEAR(read("200 in3", volume), 200 * 16387.064, 1e-6);  // 1 in3 = 16.387064 cm3
  EXPECT_DOUBLE_EQ(read("3.6 L", volume), 3.6e6);
  EXPECT_DOUBLE_EQ(read("6 %", ratio), 0.06);
  EXPECT_NEAR(read("35 lbf", force), 155.69, 5e-3);                // 1 lbf = 4.448222 N
  EXPECT_NEAR(read("0.75 oz/ft2", mass_per_area), 0.22886, 5e-6);  // 1 oz/ft2 = 305.1517 g/m2
  EXPECT_EQ(read("100 degC/h", heating_rate), 100);
  EXPECT_EQ(read("85 kg", mass), 85);
  EXPECT_DOUBLE_EQ(read("0.11 m2", area), 110000);
  EXPECT_DOUBLE_EQ(read("80 g/m2", mass_per_area), 0.08);
  EXPECT_DOUBLE_EQ(read("2.18 kg/L", density), 2180);
  EXPECT_EQ(read("2 h", Dimension::time), 7200);
  EXPECT_EQ(read("1000 degC", temperature), 1000);
  EXPECT_NEAR(read("212 degF", temperature), 100, 1e-12);
  EXPECT_NEAR(read("180 degF/h", heating_rate), 100, 1e-12);
  EXPECT_NEAR(read("90 deg", angle), std::numbers::pi / 2, 1e-15);
  EXPECT_EQ(read("18mm", length), 18);
  EXPECT_EQ(read("  18\tmm ", length), 18);
  EXPECT_EQ(read("1e2 mm", length), 100);
  EXPECT_DOUBLE_EQ(read("3/4\"", length), 19.05);
  EXPECT_EQ(read("4.5", plain), 4.5);
  EXPECT_EQ(read("120", money), 120);
}

// UDUNITS-2 as an independent table: each unit of ours, spelled as it spells it. Its avoirdupois ounce and US gallon
// are rounded to seven digits (2.834952e-2 kg, 3.785412e-3 m3), the rest holds to rounding.
TEST(Units, AgreesWithUdunits) {
  struct Row {
    const char *ours, *theirs, *canonical;
    Dimension d;
    double relative = 4e-15;
  };
  const Row rows[] = {{"mm", "mm", "mm", length},
                      {"cm", "cm", "mm", length},
                      {"m", "m", "mm", length},
                      {"um", "um", "mm", length},
                      {"in", "in", "mm", length},
                      {"inch", "inch", "mm", length},
                      {"ft", "ft", "mm", length},
                      {"yd", "yd", "mm", length},
                      {"mm2", "mm2", "mm2", area},
                      {"cm2", "cm2", "mm2", area},
                      {"m2", "m2", "mm2", area},
                      {"in2", "in2", "mm2", area},
                      {"ft2", "ft2", "mm2", area},
                      {"yd2", "yd2", "mm2", area},
                      {"mm3", "mm3", "mm3", volume},
                      {"cm3", "cm3", "mm3", volume},
                      {"m3", "m3", "mm3", volume},
                      {"mL", "mL", "mm3", volume},
                      {"cL", "cL", "mm3", volume},
                      {"L", "L", "mm3", volume},
                      {"l", "l", "mm3", volume},
                      {"in3", "in3", "mm3", volume},
                      {"ft3", "ft3", "mm3", volume},
                      {"gal", "US_liquid_gallon", "mm3", volume, 1e-6},
                      {"qt", "US_liquid_quart", "mm3", volume, 1e-6},
                      {"kg", "kg", "kg", mass},
                      {"g", "g", "kg", mass},
                      {"t", "t", "kg", mass},
                      {"lb", "lb", "kg", mass},
                      {"oz", "avoirdupois_ounce", "kg", mass, 1e-6},
                      {"kg/m3", "kg/m3", "kg/m3", density},
                      {"g/cm3", "g/cm3", "kg/m3", density},
                      {"kg/L", "kg/L", "kg/m3", density},
                      {"g/L", "g/L", "kg/m3", density},
                      {"g/mL", "g/mL", "kg/m3", density},
                      {"lb/ft3", "lb/ft3", "kg/m3", density},
                      {"kg/m2", "kg/m2", "kg/m2", mass_per_area},
                      {"g/m2", "g/m2", "kg/m2", mass_per_area},
                      {"oz/ft2", "avoirdupois_ounce/ft2", "kg/m2", mass_per_area, 1e-6},
                      {"oz/yd2", "avoirdupois_ounce/yd2", "kg/m2", mass_per_area, 1e-6},
                      {"lb/ft2", "lb/ft2", "kg/m2", mass_per_area},
                      {"N", "N", "N", force},
                      {"kN", "kN", "N", force},
                      {"lbf", "lbf", "N", force},
                      {"kgf", "kgf", "N", force},
                      {"kPa", "kPa", "kPa", pressure},
                      {"Pa", "Pa", "kPa", pressure},
                      {"MPa", "MPa", "kPa", pressure},
                      {"bar", "bar", "kPa", pressure},
                      {"psi", "psi", "kPa", pressure},
                      {"s", "s", "s", Dimension::time},
                      {"min", "min", "s", Dimension::time},
                      {"h", "h", "s", Dimension::time},
                      {"d", "d", "s", Dimension::time},
                      {"degC", "degC", "degC", temperature},
                      {"degF", "degF", "degC", temperature, 1e-14},
                      {"K", "K", "degC", temperature},
                      {"degC/h", "K/h", "K/h", heating_rate},
                      {"K/h", "K/h", "K/h", heating_rate},
                      {"degF/h", "degF/h", "K/h", heating_rate},
                      {"degC/min", "K/min", "K/h", heating_rate},
                      {"K/min", "K/min", "K/h", heating_rate},
                      {"degF/min", "degF/min", "K/h", heating_rate},
                      {"rad", "radian", "radian", angle},
                      {"deg", "degree", "radian", angle},
                      {"%", "percent", "1", ratio}};
  for (const Row& row : rows) {
    const UnitLookup theirs = ask_udunits(row.theirs, row.canonical);
    ASSERT_TRUE(theirs.conversion) << row.theirs;
    for (const double x : {1.0, 7.5, 1234.0}) {
      const double expected = theirs.conversion->scale * x + theirs.conversion->offset;
      const double size = std::abs(theirs.conversion->scale * x) + std::abs(theirs.conversion->offset);
      EXPECT_NEAR(read((shortest_number(x) + " " + row.ours).c_str(), row.d), expected, row.relative * size)
          << row.ours;
    }
  }
}

TEST(Units, OthersAreAskedOfUdunits) {
  EXPECT_NEAR(read("2 dm", length), 200, 1e-12);
  EXPECT_NEAR(read("3 hectopascal", pressure), 0.3, 1e-15);
  EXPECT_NEAR(read("1 grain", mass), 6.479891e-5, 1e-12);  // NIST SP 811: 64.79891 mg, exact
  EXPECT_NEAR(read("1 dyne", force), 1e-5, 1e-18);
}

TEST(Units, WhatIsWrongIsNamed) {
  EXPECT_EQ(code("", length), "quantity.empty");
  EXPECT_EQ(code("   ", length), "quantity.empty");
  for (const char* bad :
       {"mm", "nan mm", "NaN", "inf mm", "infinity", "-inf mm", "1,5 mm", "1 000 mm", "1 2 mm", "1.5 1/2 in", "1/0 in",
        "1 1/0 in", "1 3/2 in", "- 3 mm", "+-3 mm", "\xC2\xBD in", ".", "e5 mm"})
    EXPECT_EQ(code(bad, length), "quantity.number") << bad;
  EXPECT_EQ(code("1e999 mm", length), "quantity.overflow");
  EXPECT_EQ(code("1e308 m", length), "quantity.overflow");
  EXPECT_EQ(code("18", length), "quantity.unit.missing");
  EXPECT_EQ(code("80", mass_per_area), "quantity.unit.missing");
  for (const char* bad :
       {"18 parsnips", "18 mm;", "0x10 mm", "5 in 3", "5 mm since 1970", "5 mm @ 3", "5 mm 2", "18 MM!"})
    EXPECT_EQ(code(bad, length), "quantity.unit.unknown") << bad;
  for (const char* bad : {"18 kg", "18 mm mm", "18 mm2", "18 m-1", "18 %", "18 L"})
    EXPECT_NE(code(bad, length), "read") << bad;
  EXPECT_EQ(code("18 kg", length), "quantity.dimension");
  EXPECT_EQ(code("18 hectopascal", length), "quantity.dimension");
  EXPECT_EQ(code("18 m-1", length), "quantity.dimension");
  EXPECT_EQ(code("3 oz", volume), "quantity.dimension");  // an ounce is a mass here, whatever UDUNITS-2 thinks
  EXPECT_EQ(code("12 mm", plain), "quantity.dimension");
  const Finding f = parse_quantity("18 kg", length).findings().front();
  EXPECT_EQ(f.message, "\"18 kg\" is a mass, not a length");
  EXPECT_EQ(f.remedy, "Write a length such as \"18 mm\", \"4 cm\" or \"1 1/2 in\".");
}

TEST(Units, BareNumbersAreInTheFilesUnits) {
  EXPECT_EQ(*bare_quantity(18, length, Units::mm), 18);
  EXPECT_DOUBLE_EQ(*bare_quantity(18.5, length, Units::inch), 469.9);
  EXPECT_EQ(*bare_quantity(0.06, ratio, Units::inch), 0.06);
  EXPECT_FALSE(bare_quantity(65, density, Units::mm));
}

TEST(Units, DocumentsPrintWhatTheBenchCanUse) {
  EXPECT_EQ(format_quantity(12.5, length, Units::mm), "12.5 mm");
  EXPECT_EQ(format_quantity(12.7, length, Units::inch), "0.5 in");
  EXPECT_EQ(format_quantity(3.6e6, volume, Units::inch), "3.6 L");
  EXPECT_EQ(format_quantity(0.06, ratio, Units::mm), "6 %");
  EXPECT_EQ(format_quantity(100, length, Units::mm), "100 mm");
  EXPECT_EQ(format_quantity(-0.001, length, Units::mm), "0 mm");
  EXPECT_EQ(format_quantity(7200, Dimension::time, Units::mm), "2 h");
  EXPECT_EQ(format_quantity(std::nan(""), length, Units::mm), "unknown");
  EXPECT_EQ(format_range({0.5, 200}, length, Units::mm), "0.5 mm to 200 mm");
  EXPECT_EQ(format_range(above_zero(40), length, Units::mm), "more than 0 mm and at most 40 mm");
  EXPECT_EQ(format_range({1, kNoLimit}, plain, Units::mm), "at least 1");
  EXPECT_EQ(format_range({}, plain, Units::mm), "any");
}

TEST(Units, ExactTextReadsBackBitForBit) {
  for (const Dimension d : {plain, ratio, length, area, volume, mass, density, mass_per_area, force, pressure,
                            Dimension::time, temperature, heating_rate, angle, money})
    for (const double x : {0.1, 1.0 / 3, 12.7, 1e-7, 98765.4321})
      EXPECT_EQ(read(exact_quantity(x, d).c_str(), d), x) << exact_quantity(x, d);
}

TEST(Units, SafeFromSeveralThreads) {
  std::vector<std::thread> threads;
  std::vector<int> good(4);
  for (std::size_t t = 0; t < good.size(); ++t)
    threads.emplace_back([&good, t] {
      for (int i = 0; i < 200; ++i) good[t] += parse_quantity(std::to_string(i) + " dm", length).has_value() ? 1 : 0;
    });
  for (std::thread& t : threads) t.join();
  for (const int n : good) EXPECT_EQ(n, 200);
}

}  // namespace
}  // namespace kerfkiln
