// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/window.h"

#define GLFW_INCLUDE_NONE
#include <GLFW/glfw3.h>
#include <imgui.h>
#include <imgui_impl_glfw.h>
#include <imgui_impl_opengl3.h>
#include <stb_image_write.h>

#include <cmath>
#include <filesystem>
#include <stdexcept>
#include <utility>

#include "viewer/gl/open_gl.h"
#include "viewer/panes/look.h"

namespace hosefit {

struct WindowEvents {
  static Window& of(GLFWwindow* window) { return *static_cast<Window*>(glfwGetWindowUserPointer(window)); }
  static void drop(GLFWwindow* window, int count, const char** paths) {
    for (int i = 0; i < count; ++i) of(window).dropped_.emplace_back(paths[i]);
  }
  static void key(GLFWwindow* window, int key, int, int action, int mods) {
    if (action != GLFW_PRESS) return;
    of(window).help_ = of(window).help_ || key == GLFW_KEY_F1;
    of(window).leave_ = of(window).leave_ || (key == GLFW_KEY_Q && (mods & GLFW_MOD_CONTROL) != 0);
  }
};

namespace {

constexpr float kText_px = 15;  // at scale 1
constexpr const char* kFont = "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf";

// Latin, Greek and Cyrillic letters, general punctuation; names in other scripts show as '?'.
constexpr ImWchar kLetters[] = {0x20,   0x17F,  0x370,  0x52F,  0x2010, 0x205E, 0x20A0,
                                0x20BF, 0x2190, 0x21FF, 0x2200, 0x22FF, 0};

GLFWwindow* opened(const Window::Options& options) {
  if (glfwInit() == GLFW_FALSE)
    throw std::runtime_error("no screen was found (is DISPLAY or WAYLAND_DISPLAY set?)");
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  glfwWindowHint(GLFW_SCALE_TO_MONITOR, GLFW_TRUE);
  GLFWwindow* window = glfwCreateWindow(options.width, options.height, "hosefit", nullptr, nullptr);
  if (window != nullptr) return window;
  glfwTerminate();
  throw std::runtime_error(
      "no window with OpenGL 3.3 could be opened; a newer graphics driver, or "
      "LIBGL_ALWAYS_SOFTWARE=1, may help");
}

}  // namespace

Window::Window(const Options& options) : window_(opened(options)) {
  glfwSetWindowUserPointer(window_, this);
  glfwMakeContextCurrent(window_);
  glfwSwapInterval(1);
  glfwSetDropCallback(window_, WindowEvents::drop);
  glfwSetKeyCallback(window_, WindowEvents::key);
  given_scale_ = options.scale;
  scale_ = scale_now();
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;  // nothing is written beside the user's files
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;
  ImGui_ImplGlfw_InitForOpenGL(window_, true);  // calls the callbacks above as well
  ImGui_ImplOpenGL3_Init("#version 330 core");
  load_font();
}

Window::~Window() {
  ImGui_ImplOpenGL3_Shutdown();
  ImGui_ImplGlfw_Shutdown();
  ImGui::DestroyContext();
  glfwDestroyWindow(window_);
  glfwTerminate();
}

ScreenScale Window::scale_now() const {
  MonitorScale monitor;
  float y = 1;
  glfwGetWindowContentScale(window_, &monitor.content, &y);
  int points = 0, pixels = 0, height = 0;
  glfwGetWindowSize(window_, &points, &height);
  glfwGetFramebufferSize(window_, &pixels, &height);
  if (points > 0 && pixels > 0) monitor.framebuffer = static_cast<float>(pixels) / static_cast<float>(points);
  return screen_scale(monitor, given_scale_);
}

void Window::load_font() {
  set_look(scale_.layout);
  ImGuiIO& io = ImGui::GetIO();
  io.Fonts->Clear();
  io.FontGlobalScale = 1 / scale_.pixels;
  const float size = std::round(kText_px * scale_.layout * scale_.pixels);
  std::error_code ignored;
  if (std::filesystem::exists(kFont, ignored)) {
    io.Fonts->AddFontFromFileTTF(kFont, size, nullptr, kLetters);
  } else {
    ImFontConfig config;
    config.SizePixels = size;
    io.Fonts->AddFontDefault(&config);
  }
}

bool Window::closing() const {
  return glfwWindowShouldClose(window_) != 0;
}

void Window::resize(int width, int height) {
  glfwSetWindowSize(window_, width, height);
}

void Window::take_events(double most_seconds) {
  if (most_seconds > 0)
    glfwWaitEventsTimeout(most_seconds);
  else
    glfwPollEvents();
}

void Window::wake() {
  glfwPostEmptyEvent();
}

std::vector<std::string> Window::take_dropped() {
  return std::exchange(dropped_, {});
}

bool Window::take_help_key() {
  return std::exchange(help_, false);
}

bool Window::take_leave_key() {
  return std::exchange(leave_, false);
}

void Window::play_drop(const std::string& path) {
  const char* one = path.c_str();
  WindowEvents::drop(window_, 1, &one);
}

void Window::begin_frame(const PlayedInput* played) {
  // Asked every frame: window systems tell of a new monitor in different orders of events.
  if (const ScreenScale now = scale_now(); now != scale_) {
    scale_ = now;
    ImGui_ImplOpenGL3_DestroyFontsTexture();
    load_font();
    ImGui_ImplOpenGL3_CreateFontsTexture();
  }
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  if (played != nullptr) {
    ImGuiIO& io = ImGui::GetIO();
    if (played->mouse_x) io.MousePos = {*played->mouse_x, *played->mouse_y};
    io.MouseDown[0] = played->pressed;
    for (bool& down : io.KeysDown) down = false;
    if (played->key != 0) io.KeysDown[played->key] = true;
    if (!played->text.empty()) io.AddInputCharactersUTF8(played->text.c_str());
  }
  ImGui::NewFrame();
}

void Window::draw() {
  int width = 0, height = 0;
  glfwGetFramebufferSize(window_, &width, &height);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glViewport(0, 0, width, height);
  glClearColor(0.98F, 0.98F, 0.97F, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

void Window::end_frame() {
  ImGui::Render();
  draw();
  glfwSwapBuffers(window_);
}

void Window::write_png(const std::string& file) {
  int width = 0, height = 0;
  glfwGetFramebufferSize(window_, &width, &height);
  draw();  // the back buffer is undefined after a swap
  std::vector<unsigned char> pixels(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3);
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadBuffer(GL_BACK);
  glReadPixels(0, 0, width, height, GL_RGB, GL_UNSIGNED_BYTE, pixels.data());
  stbi_flip_vertically_on_write(1);
  if (stbi_write_png(file.c_str(), width, height, 3, pixels.data(), width * 3) == 0)
    throw std::runtime_error("the picture " + file + " could not be written");
}

}  // namespace hosefit
