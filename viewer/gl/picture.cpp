// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/gl/picture.h"

namespace hosefit {

Picture::Picture(int width, int height, int samples) : width_(width), height_(height), samples_(samples) {
  glGenTextures(1, &texture_);
  glBindTexture(GL_TEXTURE_2D, texture_);
  glTexImage2D(GL_TEXTURE_2D, 0, GL_RGBA8, width, height, 0, GL_RGBA, GL_UNSIGNED_BYTE, nullptr);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_S, GL_CLAMP_TO_EDGE);
  glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_WRAP_T, GL_CLAMP_TO_EDGE);

  glGenFramebuffers(1, &drawn_);
  glBindFramebuffer(GL_FRAMEBUFFER, drawn_);
  glGenRenderbuffers(1, &depth_);
  glBindRenderbuffer(GL_RENDERBUFFER, depth_);
  glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples > 1 ? samples : 0, GL_DEPTH24_STENCIL8, width,
                                   height);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_DEPTH_STENCIL_ATTACHMENT, GL_RENDERBUFFER, depth_);
  if (samples > 1) {
    glGenRenderbuffers(1, &colour_);
    glBindRenderbuffer(GL_RENDERBUFFER, colour_);
    glRenderbufferStorageMultisample(GL_RENDERBUFFER, samples, GL_RGBA8, width, height);
    glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colour_);
    glGenFramebuffers(1, &resolved_);
    glBindFramebuffer(GL_FRAMEBUFFER, resolved_);
  }
  glFramebufferTexture2D(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_TEXTURE_2D, texture_, 0);
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
}

Picture::~Picture() {
  glDeleteFramebuffers(1, &drawn_);
  glDeleteFramebuffers(1, &resolved_);
  glDeleteRenderbuffers(1, &colour_);
  glDeleteRenderbuffers(1, &depth_);
  glDeleteTextures(1, &texture_);
}

void Picture::begin() const {
  glBindFramebuffer(GL_FRAMEBUFFER, drawn_);
  glViewport(0, 0, width_, height_);
}

void Picture::copy_from(const Picture& other) const {
  glBindFramebuffer(GL_READ_FRAMEBUFFER, other.drawn_);
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, drawn_);
  glBlitFramebuffer(0, 0, width_, height_, 0, 0, width_, height_,
                    GL_COLOR_BUFFER_BIT | GL_DEPTH_BUFFER_BIT | GL_STENCIL_BUFFER_BIT, GL_NEAREST);
}

void Picture::finish() const {
  if (samples_ > 1) {
    glBindFramebuffer(GL_READ_FRAMEBUFFER, drawn_);
    glBindFramebuffer(GL_DRAW_FRAMEBUFFER, resolved_);
    glBlitFramebuffer(0, 0, width_, height_, 0, 0, width_, height_, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  }
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
}

GLuint Picture::texture() const {
  return texture_;
}

}  // namespace hosefit
