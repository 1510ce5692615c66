# `cmake --preset package && cmake --build --preset package --target package` makes two .deb files:
# wheymark (library, daemon, service) and libwheymark-dev (what a hub's author builds against).
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME wheymark)
set(CPACK_PACKAGE_VERSION ${PROJECT_VERSION})
set(CPACK_PACKAGE_VENDOR "Wheymark")
set(CPACK_PACKAGE_CONTACT "The Wheymark developers <wheymark@lists.invalid>")
set(CPACK_STRIP_FILES ON)
set(CPACK_SET_DESTDIR ON)  # for /etc
set(CPACK_INSTALL_PREFIX ${CMAKE_INSTALL_PREFIX})
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ
    GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL runtime development)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${CMAKE_BINARY_DIR}/plugin)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME wheymark)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION misc)
set(CPACK_DEBIAN_RUNTIME_DESCRIPTION
"A daemon, and a shared library that a hub can load, that reads the room
thermometers which a home already has, computes how far each jar of milk
kefir has come and when it will peak, and tells the household in time.")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_DEPENDS "adduser, tzdata, init-system-helpers (>= 1.52)")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SUGGESTS "mosquitto")
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)

set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libwheymark-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_DESCRIPTION
"The C header of libwheymark with its specification, and the files with which
CMake and pkg-config find the library: for authors of home-automation hubs.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "wheymark (= ${PROJECT_VERSION})")

# Only for Debian; another prefix does not need it.
foreach(package_component wheymark:runtime libwheymark-dev:development)
  string(REPLACE ":" ";" pair ${package_component})
  list(GET pair 0 package)
  list(GET pair 1 component)
  set(documents /usr/share/doc/${package})
  if(CMAKE_INSTALL_PREFIX STREQUAL /usr)
    install(FILES ${package_folder}/copyright DESTINATION ${documents} COMPONENT ${component})
    set(changelog ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz)
    install(FILES ${changelog} DESTINATION ${documents} COMPONENT ${component})
  endif()
endforeach()
add_custom_command(OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz
                   COMMAND gzip -9nc ${package_folder}/changelog >
                           ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz
                   DEPENDS ${package_folder}/changelog VERBATIM)
add_custom_target(changelog ALL DEPENDS ${CMAKE_CURRENT_BINARY_DIR}/changelog.gz)

set(CPACK_DEBIAN_RUNTIME_PACKAGE_CONTROL_EXTRA
    "${package_folder}/conffiles;${package_folder}/triggers;${package_folder}/postinst;${package_folder}/prerm;${package_folder}/postrm")
include(CPack)
