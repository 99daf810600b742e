// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/program.h"

#include <stdexcept>

namespace hosefit {
namespace {

constexpr const char* kVertexText = R"(#version 330 core
layout(location = 0) in vec3 at;
layout(location = 1) in vec3 normal;
layout(location = 2) in vec3 colour;
uniform mat4 clip;
uniform mat4 pose;
uniform vec4 section;
uniform vec2 style;
uniform vec4 over;
out vec3 turned;
out vec3 paint;
void main() {
  vec4 p = pose * vec4(at + style.y * normal, 1.0);
  gl_ClipDistance[0] = section.w - dot(section.xyz, p.xyz);
  gl_Position = clip * p;
  turned = mat3(pose) * normal;
  paint = mix(colour, over.rgb, over.a);
}
)";

// Surfaces of open scans are seen from both sides. Cut faces are hatched as in a drawing.
constexpr const char* kFragmentText = R"(#version 330 core
in vec3 turned;
in vec3 paint;
uniform vec3 towards_eye;
uniform vec2 style;
uniform int hatched;
uniform int dim;
out vec4 colour;
void main() {
  if (dim == 1 && mod(floor(gl_FragCoord.x) + floor(gl_FragCoord.y), 2.0) < 0.5) discard;
  if (hatched == 1) {
    float across = mod(gl_FragCoord.x + gl_FragCoord.y, 8.0);
    colour = vec4(paint * (across < 1.5 ? 0.55 : 0.9), 1.0);
    return;
  }
  if (style.x > 0.5) {
    colour = vec4(paint, 1.0);
    return;
  }
  vec3 n = normalize(turned);
  if (dot(n, towards_eye) < 0.0) n = -n;
  float light = 0.58 + 0.34 * dot(n, towards_eye) + 0.14 * n.z;
  colour = vec4(min(paint * light, vec3(1.0)), 1.0);
}
)";

GLuint compiled(GLenum kind, const char* text) {
  const GLuint id = glCreateShader(kind);
  glShaderSource(id, 1, &text, nullptr);
  glCompileShader(id);
  GLint good = 0;
  glGetShaderiv(id, GL_COMPILE_STATUS, &good);
  if (good != 0) return id;
  std::array<char, 1024> words{};
  glGetShaderInfoLog(id, static_cast<GLsizei>(words.size()), nullptr, words.data());
  glDeleteShader(id);
  throw std::runtime_error(std::string("the graphics driver refuses a shader: ") + words.data());
}

}  // namespace

Program::Program() {
  const GLuint vertex = compiled(GL_VERTEX_SHADER, kVertexText);
  const GLuint fragment = compiled(GL_FRAGMENT_SHADER, kFragmentText);
  id_ = glCreateProgram();
  glAttachShader(id_, vertex);
  glAttachShader(id_, fragment);
  glLinkProgram(id_);
  glDeleteShader(vertex);
  glDeleteShader(fragment);
  GLint good = 0;
  glGetProgramiv(id_, GL_LINK_STATUS, &good);
  if (good == 0) throw std::runtime_error("the graphics driver does not link the shaders");
  clip_ = glGetUniformLocation(id_, "clip");
  pose_ = glGetUniformLocation(id_, "pose");
  section_ = glGetUniformLocation(id_, "section");
  towards_eye_ = glGetUniformLocation(id_, "towards_eye");
  style_ = glGetUniformLocation(id_, "style");
  hatched_ = glGetUniformLocation(id_, "hatched");
  dim_ = glGetUniformLocation(id_, "dim");
  over_ = glGetUniformLocation(id_, "over");
}

Program::~Program() {
  glDeleteProgram(id_);
}

void Program::use(const Orbit& camera, double aspect, const Section& section) const {
  glUseProgram(id_);
  glUniformMatrix4fv(clip_, 1, GL_FALSE, clip_matrix(camera, aspect).data());
  const Vec3 towards = -view_direction(camera);
  glUniform3f(towards_eye_, static_cast<float>(towards.x()), static_cast<float>(towards.y()),
              static_cast<float>(towards.z()));
  std::array<float, 4> plane{0, 0, 0, 1};  // off: every place is on the shown side
  if (section.on) {
    const float side = section.cuts_less ? -1.0F : 1.0F;
    plane[static_cast<std::size_t>(section.axis)] = side;
    plane[3] = side * static_cast<float>(section.at_mm);
  }
  glUniform4fv(section_, 1, plane.data());
}

void Program::set_hatched(bool hatched) const {
  glUniform1i(hatched_, hatched ? 1 : 0);
}

void Program::set_pose(const Pose& pose) const {
  std::array<float, 16> m{};
  for (Eigen::Index col = 0; col < 3; ++col)
    for (Eigen::Index row = 0; row < 3; ++row)
      m[static_cast<std::size_t>(4 * col + row)] = static_cast<float>(pose.rotation(row, col));
  for (Eigen::Index row = 0; row < 3; ++row)
    m[static_cast<std::size_t>(12 + row)] = static_cast<float>(pose.origin_mm[row]);
  m[15] = 1;
  glUniformMatrix4fv(pose_, 1, GL_FALSE, m.data());
}

void Program::set_style(bool flat, double swell_mm) const {
  glUniform2f(style_, flat ? 1.0F : 0.0F, static_cast<float>(swell_mm));
}

void Program::set_dim(bool dim) const {
  glUniform1i(dim_, dim ? 1 : 0);
}

void Program::set_over(const Colour& colour, double amount) const {
  glUniform4f(over_, static_cast<float>(colour.red), static_cast<float>(colour.green),
              static_cast<float>(colour.blue), static_cast<float>(amount));
}

void Program::set_colour(const Colour& colour) {
  glVertexAttrib3f(2, static_cast<float>(colour.red), static_cast<float>(colour.green),
                   static_cast<float>(colour.blue));
}

}  // namespace hosefit
