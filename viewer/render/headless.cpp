#include "viewer/render/headless.hpp"

#include <epoxy/egl.h>

namespace kerfkiln::viewer {

std::unique_ptr<Headless> Headless::create(std::string& trouble) {
  std::unique_ptr<Headless> h(new Headless);
  const EGLDisplay display = eglGetPlatformDisplayEXT(EGL_PLATFORM_SURFACELESS_MESA, nullptr, nullptr);
  if (display == EGL_NO_DISPLAY || !eglInitialize(display, nullptr, nullptr)) {
    trouble = "no surfaceless EGL display";
    return nullptr;
  }
  h->display_ = display;
  eglBindAPI(EGL_OPENGL_API);
  const EGLint wanted[] = {EGL_RENDERABLE_TYPE, EGL_OPENGL_BIT, EGL_SURFACE_TYPE, EGL_PBUFFER_BIT, EGL_NONE};
  EGLConfig config = nullptr;
  EGLint found = 0;
  eglChooseConfig(display, wanted, &config, 1, &found);
  const EGLint version[] = {
      EGL_CONTEXT_MAJOR_VERSION,           3,       EGL_CONTEXT_MINOR_VERSION, 3, EGL_CONTEXT_OPENGL_PROFILE_MASK,
      EGL_CONTEXT_OPENGL_CORE_PROFILE_BIT, EGL_NONE};
  h->context_ = eglCreateContext(display, found ? config : nullptr, EGL_NO_CONTEXT, version);
  if (!h->context_ || !eglMakeCurrent(display, EGL_NO_SURFACE, EGL_NO_SURFACE, h->context_)) {
    trouble = "no OpenGL 3.3 context without a display";
    return nullptr;
  }
  return h;
}

Headless::~Headless() {
  if (!display_) return;
  eglMakeCurrent(display_, EGL_NO_SURFACE, EGL_NO_SURFACE, EGL_NO_CONTEXT);
  if (context_) eglDestroyContext(display_, context_);
  eglTerminate(display_);
}

}  // namespace kerfkiln::viewer
