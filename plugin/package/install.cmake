# What is installed, and where: GNUInstallDirs' folders below any prefix. Two components, so that a
# person needs no header and an author of a hub no daemon of their own: runtime and development.
include(CMakePackageConfigHelpers)
set(package_folder ${PROJECT_SOURCE_DIR}/plugin/package)

install(TARGETS wheymark EXPORT wheymark-targets
        LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT runtime
                NAMELINK_COMPONENT development)
install(TARGETS wheymarkd DESTINATION ${CMAKE_INSTALL_BINDIR} COMPONENT runtime)
install(TARGETS wheymarkd-web DESTINATION ${CMAKE_INSTALL_LIBDIR}/wheymark COMPONENT runtime)

# For those who build against it: find_package(wheymark) and pkg-config.
install(FILES ${PROJECT_SOURCE_DIR}/plugin/wheymark.h DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}
        COMPONENT development)
set(cmake_folder ${CMAKE_INSTALL_LIBDIR}/cmake/wheymark)
install(EXPORT wheymark-targets NAMESPACE wheymark:: DESTINATION ${cmake_folder}
        COMPONENT development)
configure_package_config_file(${package_folder}/wheymarkConfig.cmake.in wheymarkConfig.cmake
                              INSTALL_DESTINATION ${cmake_folder})
# The version is that of the C interface: a host of 1.x is served by every 1.y.
write_basic_package_version_file(wheymarkConfigVersion.cmake VERSION ${WHEYMARK_INTERFACE_VERSION}
                                 COMPATIBILITY SameMajorVersion)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/wheymarkConfig.cmake
              ${CMAKE_CURRENT_BINARY_DIR}/wheymarkConfigVersion.cmake
        DESTINATION ${cmake_folder} COMPONENT development)
# Relative to its own place, so that it is right for any prefix given to `cmake --install`.
file(RELATIVE_PATH WHEYMARK_PREFIX_FROM_PC ${CMAKE_INSTALL_FULL_LIBDIR}/pkgconfig ${CMAKE_INSTALL_PREFIX})
configure_file(${package_folder}/wheymark.pc.in wheymark.pc @ONLY)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/wheymark.pc
        DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig COMPONENT development)

install(DIRECTORY ${PROJECT_SOURCE_DIR}/plugin/schemas
        DESTINATION ${CMAKE_INSTALL_DATADIR}/wheymark COMPONENT development
        FILES_MATCHING PATTERN "*.json")

# For those who run it.
configure_file(${package_folder}/wheymarkd.service.in wheymarkd.service @ONLY)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/wheymarkd.service DESTINATION lib/systemd/system
        COMPONENT runtime)
# For the prefix /usr that is /etc, which is not below the prefix.
if(CMAKE_INSTALL_PREFIX STREQUAL /usr)
  set(configuration_folder ${CMAKE_INSTALL_FULL_SYSCONFDIR}/wheymark)
else()
  set(configuration_folder ${CMAKE_INSTALL_SYSCONFDIR}/wheymark)
endif()
install(FILES ${package_folder}/household.json DESTINATION ${configuration_folder}
        COMPONENT runtime)

# The manual, from the program itself; compressed without a date, so that the same source gives the
# same package.
if(NOT CMAKE_CROSSCOMPILING)
  set(pages ${CMAKE_CURRENT_BINARY_DIR}/manual)
  foreach(page wheymarkd.1 wheymark.json.5 bash-completion)
    add_custom_command(OUTPUT ${pages}/${page}
                       COMMAND ${CMAKE_COMMAND} -E make_directory ${pages}
                       COMMAND wheymarkd manual ${page} > ${pages}/${page}
                       DEPENDS wheymarkd VERBATIM)
    list(APPEND page_files ${pages}/${page})
  endforeach()
  foreach(page wheymarkd.1 wheymark.json.5)
    add_custom_command(OUTPUT ${pages}/${page}.gz COMMAND gzip -9nc ${pages}/${page} > ${pages}/${page}.gz
                       DEPENDS ${pages}/${page} VERBATIM)
    list(APPEND page_files ${pages}/${page}.gz)
  endforeach()
  add_custom_target(manual ALL DEPENDS ${page_files})
  install(FILES ${pages}/wheymarkd.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT runtime)
  install(FILES ${pages}/wheymark.json.5.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man5
          COMPONENT runtime)
  install(FILES ${pages}/bash-completion RENAME wheymarkd
          DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT runtime)
endif()
