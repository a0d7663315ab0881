#pragma once
// One rater's marks, 1 to 10, of the drawings of 100 designs of ten groups, made by looking before
// anything was computed, with the numbers of these designs the eye goes by. What the terms of
// engine/appeal/taste.h were fitted to.

#include <array>

#include "engine/score.h"

namespace sixtyfold {

struct LikedDesign {
  Score score;
  int mark;
};

inline Score make_looks_score(int panels, double layers, double slenderness, double evenness,
                              double see_through, double legibility) {
  Score score;
  score.panels = panels;
  score.layers = layers;
  score.slenderness = slenderness;
  score.evenness = evenness;
  score.see_through = see_through;
  score.legibility = legibility;
  return score;
}

inline const std::array<LikedDesign, 100> liked_designs = {{
    {make_looks_score(60, 2.551, 0.281, 1.000, 0.0210, 0.378), 8},
    {make_looks_score(60, 2.088, 0.291, 1.000, 0.0014, 0.387), 5},
    {make_looks_score(12, 1.357, 0.533, 1.000, 0.0171, 0.598), 5},
    {make_looks_score(60, 2.474, 0.181, 1.000, 0.0282, 0.325), 6},
    {make_looks_score(48, 1.018, 0.202, 1.000, 0.0139, 0.513), 6},
    {make_looks_score(48, 0.710, 0.131, 1.000, 0.0031, 0.495), 6},
    {make_looks_score(60, 1.409, 0.170, 1.000, 0.0137, 0.341), 6},
    {make_looks_score(60, 1.298, 0.156, 1.000, 0.0009, 0.285), 6},
    {make_looks_score(48, 0.743, 0.138, 1.000, 0.0082, 0.523), 6},
    {make_looks_score(60, 4.541, 0.588, 1.000, 0.0001, 0.213), 4},
    {make_looks_score(60, 1.402, 0.168, 1.000, 0.0909, 0.514), 4},
    {make_looks_score(60, 2.139, 0.310, 1.000, 0.0352, 0.388), 6},
    {make_looks_score(4, 0.793, 0.455, 1.000, 0.0237, 0.727), 2},
    {make_looks_score(120, 1.406, 0.244, 1.000, 0.0387, 0.429), 8},
    {make_looks_score(60, 1.543, 0.195, 1.000, 0.0918, 0.426), 7},
    {make_looks_score(6, 0.902, 0.457, 1.000, 0.0830, 0.740), 3},
    {make_looks_score(60, 1.275, 0.380, 1.000, 0.0291, 0.494), 6},
    {make_looks_score(24, 1.576, 0.328, 1.000, 0.0204, 0.475), 6},
    {make_looks_score(120, 2.188, 0.185, 1.000, 0.0086, 0.373), 6},
    {make_looks_score(48, 1.702, 0.502, 1.000, 0.0096, 0.475), 5},
    {make_looks_score(24, 1.100, 0.240, 1.000, 0.0282, 0.430), 5},
    {make_looks_score(60, 4.229, 0.456, 1.000, 0.0014, 0.259), 4},
    {make_looks_score(12, 0.901, 0.197, 1.000, 0.0573, 0.611), 3},
    {make_looks_score(60, 2.377, 0.199, 1.000, 0.0180, 0.312), 5},
    {make_looks_score(30, 1.345, 0.199, 1.000, 0.0495, 0.544), 6},
    {make_looks_score(24, 2.219, 0.504, 1.000, 0.0017, 0.389), 4},
    {make_looks_score(20, 1.216, 0.616, 1.000, 0.0283, 0.698), 5},
    {make_looks_score(60, 2.744, 0.421, 1.000, 0.0005, 0.287), 5},
    {make_looks_score(60, 3.105, 0.453, 1.000, 0.0006, 0.258), 4},
    {make_looks_score(60, 2.673, 0.427, 1.000, 0.0030, 0.291), 4},
    {make_looks_score(10, 0.543, 0.202, 0.368, 0.0000, 0.613), 2},
    {make_looks_score(14, 0.922, 0.319, 0.481, 0.0207, 0.579), 6},
    {make_looks_score(20, 1.160, 0.620, 1.000, 0.0443, 0.717), 5},
    {make_looks_score(12, 0.320, 0.122, 1.000, 0.0153, 0.687), 4},
    {make_looks_score(60, 2.097, 0.232, 1.000, 0.0040, 0.303), 4},
    {make_looks_score(12, 1.038, 0.477, 1.000, 0.1115, 0.730), 7},
    {make_looks_score(10, 0.556, 0.200, 0.276, 0.0446, 0.687), 2},
    {make_looks_score(60, 2.647, 0.343, 1.000, 0.0067, 0.290), 5},
    {make_looks_score(12, 0.790, 0.368, 1.000, 0.0008, 0.518), 2},
    {make_looks_score(60, 1.665, 0.166, 1.000, 0.0051, 0.394), 6},
    {make_looks_score(60, 2.167, 0.252, 1.000, 0.0000, 0.233), 7},
    {make_looks_score(60, 2.275, 0.273, 1.000, 0.0272, 0.352), 4},
    {make_looks_score(60, 3.098, 0.420, 1.000, 0.0048, 0.307), 5},
    {make_looks_score(12, 0.842, 0.315, 1.000, 0.0785, 0.684), 4},
    {make_looks_score(60, 1.553, 0.301, 1.000, 0.0462, 0.532), 6},
    {make_looks_score(60, 1.756, 0.496, 1.000, 0.0021, 0.410), 6},
    {make_looks_score(10, 0.510, 0.322, 0.775, 0.0005, 0.723), 5},
    {make_looks_score(60, 1.416, 0.205, 1.000, 0.0996, 0.520), 7},
    {make_looks_score(6, 0.561, 0.194, 1.000, 0.0452, 0.682), 2},
    {make_looks_score(60, 2.382, 0.346, 1.000, 0.0079, 0.312), 3},
    {make_looks_score(24, 1.704, 0.327, 1.000, 0.0003, 0.357), 5},
    {make_looks_score(10, 0.851, 0.391, 0.377, 0.0008, 0.627), 2},
    {make_looks_score(6, 0.727, 0.304, 1.000, 0.0822, 0.717), 3},
    {make_looks_score(60, 3.655, 0.459, 1.000, 0.0067, 0.276), 6},
    {make_looks_score(60, 2.532, 0.303, 1.000, 0.0000, 0.279), 5},
    {make_looks_score(60, 1.945, 0.231, 1.000, 0.0044, 0.349), 3},
    {make_looks_score(60, 1.749, 0.242, 1.000, 0.0430, 0.464), 7},
    {make_looks_score(10, 0.485, 0.196, 0.539, 0.0000, 0.613), 1},
    {make_looks_score(14, 0.669, 0.224, 0.370, 0.0008, 0.552), 2},
    {make_looks_score(48, 1.417, 0.421, 1.000, 0.0410, 0.554), 7},
    {make_looks_score(30, 1.358, 0.182, 1.000, 0.0508, 0.525), 7},
    {make_looks_score(24, 0.986, 0.144, 1.000, 0.0276, 0.497), 5},
    {make_looks_score(60, 1.859, 0.243, 1.000, 0.0147, 0.299), 4},
    {make_looks_score(60, 1.525, 0.415, 1.000, 0.0042, 0.427), 6},
    {make_looks_score(120, 2.651, 0.204, 1.000, 0.0002, 0.298), 6},
    {make_looks_score(60, 2.426, 0.337, 1.000, 0.0147, 0.384), 4},
    {make_looks_score(60, 2.163, 0.357, 1.000, 0.0138, 0.342), 5},
    {make_looks_score(60, 3.760, 0.532, 1.000, 0.0034, 0.273), 5},
    {make_looks_score(60, 3.536, 0.410, 1.000, 0.0012, 0.263), 4},
    {make_looks_score(60, 1.967, 0.327, 1.000, 0.0033, 0.316), 6},
    {make_looks_score(60, 2.283, 0.284, 1.000, 0.0391, 0.408), 7},
    {make_looks_score(60, 1.609, 0.203, 1.000, 0.0307, 0.481), 8},
    {make_looks_score(60, 1.182, 0.149, 1.000, 0.0803, 0.430), 8},
    {make_looks_score(120, 0.999, 0.445, 1.000, 0.2026, 0.679), 6},
    {make_looks_score(30, 0.843, 0.149, 1.000, 0.1991, 0.675), 8},
    {make_looks_score(60, 1.365, 0.126, 1.000, 0.0303, 0.415), 7},
    {make_looks_score(120, 1.351, 0.191, 1.000, 0.1121, 0.484), 8},
    {make_looks_score(60, 2.063, 0.309, 1.000, 0.0280, 0.383), 5},
    {make_looks_score(12, 0.778, 0.324, 1.000, 0.0889, 0.624), 4},
    {make_looks_score(14, 0.892, 0.284, 0.392, 0.0144, 0.491), 3},
    {make_looks_score(60, 3.661, 0.473, 1.000, 0.0032, 0.252), 5},
    {make_looks_score(60, 1.290, 0.187, 1.000, 0.0134, 0.392), 7},
    {make_looks_score(60, 1.192, 0.151, 1.000, 0.0636, 0.494), 7},
    {make_looks_score(24, 0.938, 0.266, 1.000, 0.0695, 0.538), 5},
    {make_looks_score(12, 1.169, 0.292, 1.000, 0.0083, 0.539), 3},
    {make_looks_score(60, 1.390, 0.165, 1.000, 0.0396, 0.358), 5},
    {make_looks_score(60, 2.197, 0.251, 1.000, 0.0005, 0.278), 6},
    {make_looks_score(20, 1.169, 0.588, 1.000, 0.0410, 0.708), 5},
    {make_looks_score(10, 0.800, 0.305, 0.888, 0.0526, 0.628), 3},
    {make_looks_score(60, 2.140, 0.264, 1.000, 0.0308, 0.353), 6},
    {make_looks_score(120, 1.841, 0.504, 1.000, 0.0233, 0.449), 6},
    {make_looks_score(24, 1.483, 0.357, 1.000, 0.0432, 0.527), 7},
    {make_looks_score(60, 1.961, 0.400, 1.000, 0.0011, 0.349), 4},
    {make_looks_score(14, 0.941, 0.498, 0.363, 0.0003, 0.593), 2},
    {make_looks_score(60, 1.306, 0.185, 1.000, 0.0014, 0.328), 6},
    {make_looks_score(60, 2.888, 0.312, 1.000, 0.0194, 0.322), 4},
    {make_looks_score(48, 1.023, 0.234, 1.000, 0.1017, 0.675), 6},
    {make_looks_score(8, 0.852, 0.479, 1.000, 0.0546, 0.763), 4},
    {make_looks_score(60, 1.785, 0.411, 1.000, 0.0099, 0.398), 4},
    {make_looks_score(12, 1.145, 0.522, 1.000, 0.0787, 0.701), 5},
}};

}  // namespace sixtyfold
